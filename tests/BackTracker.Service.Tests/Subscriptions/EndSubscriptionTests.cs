using System.Net;
using BackTracker.Service.Tests.Delivery;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Subscriptions;
using MimeKit;

namespace BackTracker.Service.Tests.Subscriptions;

/// <summary>How a reader ends the letters, by the links of a letter that really came.</summary>
public sealed class EndSubscriptionTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task MailProgram_endsTheSubscriptionInOneRequest(StoreKind store)
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings, store);
        var letter = await LetterAsync(yard, office);
        var address = PathOf(letter.Headers[HeaderId.ListUnsubscribe]!.Trim(' ', '<', '>'));
        using var program = new PageClient(yard.Service);

        // RFC 8058, section 3.1: a POST with this body, no cookie, nothing read before.
        (await program.PostAsync(address, ("List-Unsubscribe", "One-Click"))).Should(HttpStatusCode.NoContent);
        (await program.PostAsync(address, ("List-Unsubscribe", "One-Click"))).Should(HttpStatusCode.NoContent);

        Assert.Equal("2026-11-25T09:00:00.000Z", await EndedAsync(yard));
    }

    [Fact]
    public async Task Link_atTheFootOfALetter_leadsToAButtonThatEndsIt()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        var letter = await LetterAsync(yard, office);
        var page = PostOffice.LinkIn(letter, "End these letters");
        using var reader = new PageClient(yard.Service);

        Assert.Contains("Larkfield", (await reader.GetAsync(page)).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
        Assert.Null(await EndedAsync(yard));
        (await reader.PostAsync("/end-subscription", ("word", page.Split('=')[1]))).Should(HttpStatusCode.BadRequest);
        Assert.Null(await EndedAsync(yard));
        (await reader.FillAsync(page, "/end-subscription", ("word", page.Split('=')[1]))).Should(HttpStatusCode.Found);

        Assert.NotNull(await EndedAsync(yard));
        Assert.Contains("Nothing more is sent", (await reader.GetAsync(page)).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task AddressForMailPrograms_openedInABrowser_leadsToThePage()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        var letter = await LetterAsync(yard, office);
        var address = PathOf(letter.Headers[HeaderId.ListUnsubscribe]!.Trim(' ', '<', '>'));
        using var reader = new PageClient(yard.Service);

        var page = (await reader.GetAsync(address)).Should(HttpStatusCode.Found).Headers.Location!.OriginalString;

        (await reader.GetAsync(page)).Should(HttpStatusCode.OK);
        Assert.Null(await EndedAsync(yard));
    }

    [Fact]
    public async Task WordThatWasTamperedWith_endsNothing()
    {
        await using var service = await RunningService.StartAsync();
        using var program = new PageClient(service);

        (await program.PostAsync("/end-subscription/at-once?word=CfDJ8AAAA", ("List-Unsubscribe", "One-Click"))).Should(HttpStatusCode.NotFound);
        (await program.PostAsync("/end-subscription/at-once", ("List-Unsubscribe", "One-Click"))).Should(HttpStatusCode.NotFound);
    }

    private static async Task<MimeMessage> LetterAsync(MailYard yard, PostOffice office)
    {
        await yard.WaitSentAsync(await yard.WriteAsync());
        return office.Letters[0];
    }

    private static string PathOf(string address) => new Uri(address).PathAndQuery;

    private static async Task<string?> EndedAsync(MailYard yard)
    {
        await using var session = await yard.Service.Database.ReadAsync(TestContext.Current.CancellationToken);
        return (await SubscriptionStore.FindAsync(session, Storage.Sight.All, yard.SubscriptionId))!.EndedAt;
    }
}
