using BackTracker.Service.Features.Subscriptions;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Demo;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Browser.Tests;

/// <summary>Pages behind the links of letters, in the demo.</summary>
internal static class Subscribed
{
    /// <summary>One that asks whether letters are wanted.</summary>
    public static async Task<string> ToConfirmAsync(FilledDemo demo)
    {
        var word = Guid.NewGuid().ToString("N");
        await AddAsync(demo, word);
        return $"/confirm-address?word={word}";
    }

    /// <summary>One that asks whether they are to end.</summary>
    public static async Task<string> ToEndAsync(FilledDemo demo) => $"/end-subscription?word={demo.Service<EndWord>().Of(await AddAsync(demo, Guid.NewGuid().ToString("N")))}";

    /// <summary>A webhook that was tested.</summary>
    public static async Task<string> WebhookAsync(FilledDemo demo)
    {
        var yards = (await demo.Api.GetAsync("/v1/yards")).Items.Select(yard => yard!["id"]!.GetValue<string>());
        var id = await demo.Api.MakeAsync("/v1/subscriptions", new { url = "https://receiver.larkfield.test/hook", yardIds = yards });
        (await demo.Api.PostAsync($"/v1/subscriptions/{id}/test", new { })).Should(System.Net.HttpStatusCode.Created);
        return id;
    }

    private static async Task<string> AddAsync(FilledDemo demo, string word)
    {
        var yards = (await demo.Api.GetAsync("/v1/yards")).Items.Select(yard => yard!["id"]!.GetValue<string>());
        await using var session = await demo.Database.WriteAsync("test", TestContext.Current.CancellationToken);
        var row = new SubscriptionRow { Id = session.NewId(), Channel = "mail", Email = "isla@larkfield.test", ConfirmHash = KeySecret.Hash(word), CreatedAt = session.NowText, Yards = string.Join(',', yards) };
        await SubscriptionStore.AddAsync(session, row);
        await session.CommitAsync();
        return row.Id;
    }
}
