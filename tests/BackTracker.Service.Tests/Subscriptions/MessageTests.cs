using System.Net;
using BackTracker.Service.Tests.Delivery;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Subscriptions;

public sealed class MessageTests
{
    private const string Nobody = "0199f6c2-0000-7000-8000-0000000000ff";

    [Fact]
    public async Task Letters_areListed_withoutWhatTheySay()
    {
        await using var yard = await MailYard.SettleAsync(new());
        var first = await yard.WriteAsync();
        var second = await yard.WriteAsync(occasion: "digest");

        var page = (await yard.Service.Admin.GetAsync($"{yard.Messages}?limit=1")).Should(HttpStatusCode.OK);
        var rest = (await yard.Service.Admin.GetAsync(page["next"]!.GetValue<string>())).Should(HttpStatusCode.OK);

        Assert.Equal([first, second], [.. page.Texts("id"), .. rest.Texts("id")]);
        Assert.Equal(["digest"], rest.Texts("occasion"));
        Assert.DoesNotContain("narrow", page.Text + rest.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("/v1/subscriptions/x/messages")]
    [InlineData($"/v1/subscriptions/{Nobody}/messages")]
    public async Task Letters_ofNobody_areNotFound(string path)
    {
        await using var service = await RunningService.StartAsync();

        (await service.Admin.GetAsync(path)).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
    }

    [Fact]
    public async Task Retry_ofALetterOfAnotherSubscription_isNotFound()
    {
        await using var yard = await MailYard.SettleAsync(new());
        var id = await yard.WriteAsync();
        var other = await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "morwen@larkfield.test");

        (await yard.Service.Admin.PostAsync($"/v1/subscriptions/{other}/messages/{id}/retry")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Service.Admin.PostAsync($"{yard.Messages}/{Nobody}/retry")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await yard.Service.Admin.PostAsync($"{yard.Messages}/{id}/retry")).Should(HttpStatusCode.OK);
    }
}
