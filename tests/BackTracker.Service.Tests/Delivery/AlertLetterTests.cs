using System.Net;
using BackTracker.Engine.Checks;
using BackTracker.Service.Tests.Harness;
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

    private static async Task ArrivedAsync(PostOffice office, Predicate<MimeMessage> expected)
    {
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        limit.CancelAfter(TimeSpan.FromSeconds(30));
        while (!office.Letters.Any(letter => expected(letter)))
        {
            Assert.False(limit.IsCancellationRequested, $"Arrived so far: {string.Join("; ", office.Letters.Select(letter => letter.TextBody))}");
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }
}
