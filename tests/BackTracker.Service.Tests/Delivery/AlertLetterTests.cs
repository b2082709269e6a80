using System.Net;
using System.Text.RegularExpressions;
using BackTracker.Engine.Checks;
using BackTracker.Service.Jobs;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;
using MimeKit;

namespace BackTracker.Service.Tests.Delivery;

/// <summary>From what somebody saw to the letter in the mailbox.</summary>
public sealed class AlertLetterTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task VetFirstSign_comesByMailAtOnce_andSoDoesThatItIsOver(StoreKind store)
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings, store);
        await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "morwen@larkfield.test", "[]");

        var sign = await yard.Service.Admin.MakeAsync($"/v1/horses/{yard.Yard.HorseId}/observations", new { observedOn = "2026-11-25", kind = "lameness", note = "Short on the left fore." });
        await ArrivedAsync(office, one => one.Subject == "Stop, vet first: Bramble");

        var letter = office.Letters.Single(one => one.Subject == "Stop, vet first: Bramble");
        Assert.Contains("STOP, VET FIRST\n\nBramble\n", letter.TextBody!.ReplaceLineEndings("\n"), StringComparison.Ordinal);
        Assert.Contains(Cautions.VetFirst[0], letter.TextBody, StringComparison.Ordinal);
        Assert.DoesNotContain(letter.BodyParts, part => part.ContentType.MediaType == "image");

        (await yard.Service.Admin.PostAsync($"/v1/observations/{sign}/outcome", new { on = "2026-11-25", by = yard.Yard.VetId, role = "vet", outcome = "cleared", note = "A stone bruise, sound again." }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
        await ArrivedAsync(office, one => one.TextBody!.ReplaceLineEndings("\n").Contains("\nSettled\n\nBramble\n  Vet-first sign: Seen by the vet on 25 November 2026.\n", StringComparison.Ordinal));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task VetFirstSign_whereTheManagersAddressIsRefused_goesToTheNextAtOnce(StoreKind store)
    {
        await using var office = PostOffice.Open(unknown: "gone@larkfield.test");
        await using var yard = await MailYard.SettleAsync(office.Settings, store);
        await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "gone@larkfield.test", "[]", yard.Yard.ManagerId);
        await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "morwen@larkfield.test", "[]", yard.Yard.FitterId);

        await SeeAsync(yard);
        await ArrivedAsync(office, one => one.Subject == "Stop, vet first: Bramble");

        Assert.Equal("morwen@larkfield.test", Assert.Single(office.Letters).To.Mailboxes.Single().Address);
        Assert.Contains("Not told, Isla Brook: the letter could not be sent.", await DecisionsAsync(yard));
        await Eventually.TrueAsync(
            async () => (await DecisionsAsync(yard)).Any(text => text.StartsWith("Told Morwen Hale by mail on 25 November 2026, 09:00", StringComparison.Ordinal)),
            () => "Nobody was noted as told.");
    }

    [Fact]
    public async Task VetFirstSign_whereTheOnlyAddressIsRefused_isTriedAgainWithEachDaysLetter()
    {
        await using var office = PostOffice.Open(unknown: "gone@larkfield.test");
        await using var yard = await MailYard.SettleAsync(office.Settings);
        var gone = new MailYard(yard.Service, yard.Yard, await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "gone@larkfield.test", "[]", yard.Yard.ManagerId));
        await yard.Service.ExecuteAsync($"update subscriptions set ended_at = created_at where id = '{yard.SubscriptionId}'");
        await SeeAsync(yard);
        await ParkedAsync(gone, 1);

        for (var day = 2; day <= 4; day++)
        {
            await yard.Service.PassDaysAsync(1);
            yard.Service.Clock.SetUtcNow(new(2026, 11, 24 + day, 9, 0, 0, TimeSpan.Zero));
            await yard.Service.Services.GetRequiredService<DigestRound>().RunAsync(TestContext.Current.CancellationToken);
            await ParkedAsync(gone, day);
        }
    }

    [Fact]
    public async Task End_thatARefusedAddressAskedForAlone_isTriedOnce()
    {
        await using var office = PostOffice.Open(unknown: "gone@larkfield.test");
        await using var yard = await MailYard.SettleAsync(office.Settings);
        await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "morwen@larkfield.test", "[]");
        var gone = new MailYard(yard.Service, yard.Yard, await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "gone@larkfield.test", """["backtracker.check.closed.v1"]"""));
        var sign = await SeeAsync(yard);
        await ArrivedAsync(office, one => one.Subject == "Stop, vet first: Bramble");
        await EndAsync(yard, sign);

        await ParkedAsync(gone, 1);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task VetFirstSign_overBeforeItsLetterCouldBeSent_isNotSent_norIsItsEnd(StoreKind store)
    {
        var port = Ports.Free();
        await using var yard = await MailYard.SettleAsync(new() { Mail = PostOffice.SettingsFor(port) }, store);
        var morwen = new MailYard(yard.Service, yard.Yard, await MailYard.SubscribeAsync(yard.Service.Database, yard.Yard.YardId, "morwen@larkfield.test", "[]"));
        var sign = await SeeAsync(yard);
        await yard.Service.SettledAsync();
        var stop = (await yard.Service.Admin.GetAsync(morwen.Messages)).Items[0]!["id"]!.GetValue<string>();
        await morwen.WaitTriedAsync(stop, 1);
        Assert.Contains(await DecisionsAsync(yard), text => text.StartsWith("The letter to an address of the yard waits", StringComparison.Ordinal) || text.StartsWith("The letter to morwen@larkfield.test waits", StringComparison.Ordinal));
        await EndAsync(yard, sign);
        await yard.Service.SettledAsync();

        await using var office = PostOffice.Open(port);
        yard.Service.Clock.Advance(TimeSpan.FromMinutes(1));
        var parked = await morwen.WaitAsync(stop, message => MailYard.State(message) == "parked");

        Assert.Equal("Nothing was left to say: settled before the letter went.", parked["lastError"]!.GetValue<string>());
        var end = (await yard.Service.Admin.GetAsync(morwen.Messages)).Items.Select(m => m!["id"]!.GetValue<string>()).ElementAt(1);
        Assert.DoesNotContain("vet-first sign", string.Concat(office.Letters.Select(letter => letter.TextBody)), StringComparison.OrdinalIgnoreCase);
        await morwen.WaitAsync(end, message => MailYard.State(message) != "pending");
        Assert.DoesNotContain("vet", string.Concat(office.Letters.Select(letter => letter.Subject)), StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task Address_confirmedWhileAVetFirstSignIsOpen_hearsOfItAtOnce()
    {
        await using var office = PostOffice.Open();
        await using var yard = await MailYard.SettleAsync(office.Settings);
        await yard.Service.ExecuteAsync($"update subscriptions set ended_at = created_at where id = '{yard.SubscriptionId}'");
        await SeeAsync(yard);
        await yard.Service.SettledAsync();
        (await yard.Service.Admin.PostAsync("/v1/subscriptions", new { email = "isla@example.test", yardIds = new[] { yard.Yard.YardId } })).Should(HttpStatusCode.Created);
        await ArrivedAsync(office, one => one.Subject == "Confirm your address");
        var page = Regex.Match(office.Letters[0].TextBody!, "/confirm-address\\?word=[^\\s]+").Value;
        using var reader = new PageClient(yard.Service);

        (await reader.FillAsync(page, "/confirm-address", ("word", page.Split('=')[1]))).Should(HttpStatusCode.Found);

        await ArrivedAsync(office, one => one.Subject == "Stop, vet first: Bramble");
    }

    private static Task<string> SeeAsync(MailYard yard) =>
        yard.Service.Admin.MakeAsync($"/v1/horses/{yard.Yard.HorseId}/observations", new { observedOn = "2026-11-25", kind = "lameness", note = "Short on the left fore." });

    private static async Task EndAsync(MailYard yard, string sign) => (await yard.Service.Admin.PostAsync(
        $"/v1/observations/{sign}/outcome", new { on = "2026-11-25", by = yard.Yard.VetId, role = "vet", outcome = "cleared", note = "Sound again." }, ("If-Match", "*"))).Should(HttpStatusCode.OK);

    private static async Task<IReadOnlyList<string>> DecisionsAsync(MailYard yard)
    {
        var alert = (await yard.Service.Admin.GetAsync($"/v1/alerts?yardId={yard.Yard.YardId}")).Items.Single(one => one!["cause"]!.GetValue<string>() == "vet-first")!["id"];
        return [.. (await yard.Service.Admin.GetAsync($"/v1/alerts/{alert}/decisions")).Items.Select(one => one!["text"]!.GetValue<string>())];
    }

    /// <summary>Waits until so many letters are parked and none is on its way.</summary>
    private static Task ParkedAsync(MailYard yard, int count) => Eventually.TrueAsync(async () =>
    {
        var states = (await yard.Service.Admin.GetAsync($"{yard.Messages}?limit=500")).Items.Select(message => MailYard.State(message!)).ToList();
        return states.Count == count && states.All(state => state == "parked");
    }, () => $"Not {count} parked letters.");

    private static Task ArrivedAsync(PostOffice office, Predicate<MimeMessage> expected) => Eventually.TrueAsync(
        () => Task.FromResult(office.Letters.Any(letter => expected(letter))),
        () => $"Arrived so far: {string.Join("; ", office.Letters.Select(letter => letter.TextBody))}");
}
