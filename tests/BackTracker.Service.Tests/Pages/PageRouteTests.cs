using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Pages;

public sealed class PageRouteTests
{
    [Theory]
    [InlineData("/checks/x/book", "/checks/x")]
    [InlineData("/checks/x/complete", "/checks/x")]
    [InlineData("/measurements/x/void", "/measurements/x")]
    [InlineData("/observations/x/outcome", "/observations/x")]
    [InlineData("/visits/x/complete", "/visits/x")]
    [InlineData("/yards/x/checks/visit", "/yards/x/checks")]
    [InlineData("/subscriptions/x/delivery-y", "/subscriptions/x")]
    [InlineData("/sign-out", "/")]
    public async Task AddressOfAForm_openedAnew_leadsToThePageItStandsOn(string form, string page)
    {
        await using var service = await RunningService.StartAsync();
        using var client = new PageClient(service);

        Assert.Equal(page, (await client.GetAsync(form)).Should(HttpStatusCode.Found).Headers.Location!.OriginalString);
    }

    [Theory]
    [InlineData("/", "text/html", 405, "text/html")]
    [InlineData("/", "application/json", 405, "application/problem+json")]
    [InlineData("/v1/yards", "text/html", 405, "application/problem+json")]
    [InlineData("/openapi/v1.json", "text/html", 405, "application/problem+json")]
    [InlineData("/health/live", "text/html", 405, "application/problem+json")]
    public async Task MethodThatAnAddressDoesNotAnswer_isSaidAsAPageToPeopleOnly(string path, string accept, int status, string type)
    {
        await using var service = await RunningService.StartAsync();
        using var client = new PageClient(service);

        var reply = (await client.SendAsync(HttpMethod.Delete, path, null, accept)).Should((HttpStatusCode)status);

        Assert.Equal(type, reply.ContentHeaders.ContentType!.MediaType);
    }

    [Theory]
    [InlineData("/health/live", HttpStatusCode.OK)]
    [InlineData("/health/ready", HttpStatusCode.OK)]
    [InlineData("/sign-in", HttpStatusCode.OK)]
    [InlineData("/", HttpStatusCode.Found)]
    [InlineData("/nowhere", HttpStatusCode.NotFound)]
    public async Task Head_isAnsweredLikeGet_withoutABody(string path, HttpStatusCode status)
    {
        await using var service = await RunningService.StartAsync();
        using var client = new PageClient(service);

        var get = (await client.GetAsync(path)).Should(status);
        var head = (await client.SendAsync(HttpMethod.Head, path, null)).Should(status);

        Assert.Equal(get.ContentHeaders.ContentType, head.ContentHeaders.ContentType);
        Assert.Empty(head.Text);
    }
}
