using System.Net;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Delivery;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Tests.Subscriptions;

public sealed class ConfirmAddressTests
{
    private const string Word = "a-word-of-256-random-bits";
    private const string Page = $"/confirm-address?word={Word}";

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Address_isConfirmedByTheButtonOfThePageInTheLetter(StoreKind store)
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings, store);
        var asked = await AskAsync(yard);
        await asked.WaitSentAsync((await asked.Service.Admin.GetAsync(asked.Messages)).Items[0]!["id"]!.GetValue<string>());
        var letter = Assert.Single(office.Letters);
        Assert.Equal("Confirm your address", letter.Subject);
        Assert.Contains($"https://horses.test{Page}", letter.TextBody, StringComparison.Ordinal);
        Assert.Contains("Larkfield", letter.TextBody, StringComparison.Ordinal);

        using var reader = new PageClient(yard.Service);
        Assert.Contains("Larkfield", (await reader.GetAsync(Page)).Should(HttpStatusCode.OK).Text, StringComparison.Ordinal);
        Assert.Null((await FindAsync(asked)).ConfirmedAt);
        var taken = (await reader.FillAsync(Page, "/confirm-address", ("word", Word))).Should(HttpStatusCode.Found);

        Assert.Equal("2026-11-25T09:00:00.000Z", (await FindAsync(asked)).ConfirmedAt);
        var done = (await reader.GetAsync(taken.Headers.Location!.OriginalString)).Should(HttpStatusCode.OK).Text;
        Assert.Contains("Your address is confirmed", done, StringComparison.Ordinal);
        Assert.DoesNotContain("<button type=\"submit\">Send", done, StringComparison.Ordinal);
        Assert.DoesNotContain(Word, await BodiesAsync(asked), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Address_confirmedTwice_isConfirmedOnce()
    {
        await using var yard = await MailYard.SettleAsync(new());
        var asked = await AskAsync(yard);
        using var reader = new PageClient(yard.Service);
        var token = await reader.TokenAsync(Page);

        (await reader.PostAsync("/confirm-address", (PageClient.Token, token), ("word", Word))).Should(HttpStatusCode.Found);
        var first = await FindAsync(asked);
        yard.Service.Clock.Advance(TimeSpan.FromHours(1));
        (await reader.PostAsync("/confirm-address", (PageClient.Token, token), ("word", Word))).Should(HttpStatusCode.Found);

        Assert.Equal(first, await FindAsync(asked));
    }

    [Fact]
    public async Task Form_withoutItsToken_confirmsNothing()
    {
        await using var yard = await MailYard.SettleAsync(new());
        var asked = await AskAsync(yard);
        using var reader = new PageClient(yard.Service);

        (await reader.PostAsync("/confirm-address", ("word", Word))).Should(HttpStatusCode.BadRequest);

        Assert.Null((await FindAsync(asked)).ConfirmedAt);
    }

    [Theory]
    [InlineData(6.9, HttpStatusCode.Found)]
    [InlineData(7.0, HttpStatusCode.NotFound)]
    public async Task Word_works_forSevenDays(double days, HttpStatusCode status)
    {
        await using var yard = await MailYard.SettleAsync(new());
        await AskAsync(yard);
        using var reader = new PageClient(yard.Service);
        var token = await reader.TokenAsync(Page);
        yard.Service.Clock.Advance(TimeSpan.FromDays(days));

        (await reader.PostAsync("/confirm-address", (PageClient.Token, token), ("word", Word))).Should(status);
    }

    [Theory]
    [InlineData("/confirm-address")]
    [InlineData("/confirm-address?word=")]
    [InlineData("/confirm-address?word=another")]
    [InlineData("/end-subscription?word=another")]
    [InlineData("/end-subscription")]
    public async Task Word_thatIsNotKnown_isAnsweredInWords(string page)
    {
        await using var service = await RunningService.StartAsync();
        using var reader = new PageClient(service);

        Assert.Contains("This link does not work", (await reader.GetAsync(page)).Should(HttpStatusCode.NotFound).Text, StringComparison.Ordinal);
    }

    /// <summary>An address that waits to be confirmed, and the letter that asks for it.</summary>
    private static async Task<MailYard> AskAsync(MailYard yard)
    {
        string id;
        await using (var session = await yard.Service.Database.WriteAsync("test", TestContext.Current.CancellationToken))
        {
            id = session.NewId();
            await SubscriptionStore.AddAsync(session, new SubscriptionRow { Id = id, Channel = "mail", Email = "morwen@larkfield.test", ConfirmHash = KeySecret.Hash(Word), CreatedAt = session.NowText, Yards = yard.Yard.YardId });
            await session.CommitAsync();
        }
        var asked = new MailYard(yard.Service, yard.Yard, id);
        await asked.WriteAsync(yard.Service.Database, $$"""{"link": "{{Page}}"}""", id, "confirm");
        return asked;
    }

    private static async Task<SubscriptionRow> FindAsync(MailYard yard)
    {
        await using var session = await yard.Service.Database.ReadAsync(TestContext.Current.CancellationToken);
        return (await SubscriptionStore.FindAsync(session, Storage.Sight.All, yard.SubscriptionId))!;
    }

    private static async Task<string> BodiesAsync(MailYard yard)
    {
        await using var session = await yard.Service.Database.ReadAsync(TestContext.Current.CancellationToken);
        return string.Concat((await MessageStore.ListAsync(session, yard.SubscriptionId, new Page("", 500))).Items.Select(message => message.Body));
    }
}
