using System.Net;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Pages;

/// <summary>A form outlives the session it was filled in.</summary>
public sealed class PageSessionTests
{
    [Fact]
    public async Task Form_sentAfterTheSessionEnded_saysSo_andIsTakenAfterSigningInElsewhere()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        using var client = await PageClient.SignedInAsync(service);
        var path = $"/horses/{yard.HorseId}/events";
        var filled = new[] { (PageClient.Token, await client.TokenAsync(path)), ("/on", "2026-11-25"), ("/kind", "lay-off") };
        service.Clock.Advance(TimeSpan.FromHours(13));

        var refused = (await client.PostAsync(path, filled)).Should(HttpStatusCode.Unauthorized);
        await client.SignInAsync();
        var taken = await client.PostAsync(path, filled);

        Assert.Contains("Nothing was recorded", refused.Text, StringComparison.Ordinal);
        Assert.Contains("href=\"/sign-in\"", refused.Text, StringComparison.Ordinal);
        Assert.Equal($"/horses/{yard.HorseId}", taken.Should(HttpStatusCode.Found).Headers.Location!.OriginalString);
    }

    [Fact]
    public async Task Page_afterTheSessionEnded_goesOnToIt()
    {
        await using var service = await RunningService.StartAsync();
        using var nobody = new PageClient(service);

        var reply = (await nobody.GetAsync("/horses/x")).Should(HttpStatusCode.Found);

        Assert.Equal("/sign-in?to=%2Fhorses%2Fx", reply.Headers.Location!.OriginalString);
    }

    [Fact]
    public async Task Form_whoseCookieIsGone_saysWhatToDo()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        using var client = await PageClient.SignedInAsync(service);
        var path = $"/horses/{yard.HorseId}/events";
        var token = await client.TokenAsync(path);
        foreach (Cookie cookie in client.Cookies.GetAllCookies())
            cookie.Expired = cookie.Name == "backtracker-form";

        var reply = (await client.PostAsync(path, (PageClient.Token, token), ("/kind", "lay-off"))).Should(HttpStatusCode.BadRequest);

        Assert.Contains("Nothing was recorded", reply.Text, StringComparison.Ordinal);
        Assert.Contains("another window", reply.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task CookieOfForms_livesAsLongAsTheSession_fromSigningInOn()
    {
        await using var service = await RunningService.StartAsync();
        using var client = new PageClient(service);

        var first = SetCookies(await client.GetAsync("/sign-in"));
        var signedIn = SetCookies(await client.SignInAsync());

        Assert.Contains("max-age=43200", Assert.Single(first, OfForms), StringComparison.Ordinal);
        Assert.Contains("max-age=43200", Assert.Single(signedIn, OfForms), StringComparison.Ordinal);
        Assert.Equal(first.Single(OfForms).Split(';')[0], signedIn.Single(OfForms).Split(';')[0]);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Cookies_areSecure_whereTheOperatorSaysSo(bool secure)
    {
        await using var service = await RunningService.StartAsync(settings: new Settings { Pages = new() { SecureCookies = secure } });
        using var client = new PageClient(service);

        var page = await client.GetAsync("/sign-in");

        Assert.NotEmpty(SetCookies(page));
        Assert.All(SetCookies(page), cookie => Assert.Equal(secure, cookie.Contains("; secure", StringComparison.Ordinal)));
    }

    private static bool OfForms(string cookie) => cookie.StartsWith("backtracker-form=", StringComparison.Ordinal);

    private static string[] SetCookies(Reply reply) => reply.Headers.TryGetValues("Set-Cookie", out var cookies) ? [.. cookies] : [];
}
