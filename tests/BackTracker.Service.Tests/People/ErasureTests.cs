using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.People;

public sealed class ErasureTests
{
    private const string Name = "Morwen O'Hale";
    private const string Before = "Morwen Tarn";
    private const string Email = "morwen@larkfield.test";

    [Theory]
    [InlineData(StoreKind.Sqlite)]
    [InlineData(StoreKind.Postgres)]
    public async Task Erase_ofAFitter_leavesNothingOfThemInTheStoreAndEveryRecordInItsPlace(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        var fitter = await FitterAsync(yard);
        var key = await yard.KeyAsync("fit", fitter);
        var session = await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-03-02T15:00:00Z", [310, 311], $$"""{"note":"{{Name}} held the head.","measuredBy":"{{fitter}}"}"""));
        var rub = await yard.Recorder.MakeAsync(yard.Observations, new { observedOn = "2026-03-02", kind = "rub", note = $"Seen by {Name.ToUpperInvariant()} ({Email}); Morwen O'Halest was away." });
        await yard.Recorder.MakeAsync(yard.Observations, new { observedOn = "2026-03-02", kind = "rub", note = $"{Before} says it is old." });
        (await yard.Admin.PostAsync("/v1/subscriptions", new { url = "https://hooks.example/fitter", yardIds = new[] { yard.YardId } })).Should(HttpStatusCode.Created);
        var before = await StoreContent.ReadAsync(yard.Service);

        var erased = (await yard.Admin.PostAsync($"/v1/people/{fitter}/erase")).Should(HttpStatusCode.OK);

        var pseudonym = erased["person"]!["name"]!.GetValue<string>();
        Assert.Equal($"Erased person {fitter[^8..]}", pseudonym);
        Assert.Equal(4, erased["namesReplaced"]!.GetValue<int>());
        Assert.Single(erased["keyIdsEnded"]!.AsArray());
        (await key.GetAsync("/v1/yards")).ShouldBeProblem(HttpStatusCode.Unauthorized, "no-key");
        var measured = await yard.Admin.GetAsync($"/v1/measurements/{session}");
        Assert.Equal((fitter, $"{pseudonym} held the head."), (measured["measuredBy"]!.GetValue<string>(), measured["note"]!.GetValue<string>()));
        Assert.Equal($"Seen by {pseudonym} ({pseudonym}); Morwen O'Halest was away.", (await yard.Admin.GetAsync($"/v1/observations/{rub}"))["note"]!.GetValue<string>());
        var after = await StoreContent.ReadAsync(yard.Service);
        Assert.DoesNotContain(after.SelectMany(table => table.Value), Mentions);
        Assert.All(before.Where(table => table.Key != "audit"), table => Assert.Equal(table.Value.Count, after[table.Key].Count));
    }

    [Fact]
    public async Task Erase_ofSomebodyBooked_isRefusedUntilSomebodyElseIs()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await service.SettledAsync();
        var check = (await service.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}&state=open")).Items[0]!["id"]!.GetValue<string>();
        var on = yard.Today.AddDays(3).ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
        var etag = (await service.Admin.GetAsync($"/v1/checks/{check}")).Etag;
        (await service.Admin.PostAsync($"/v1/checks/{check}/book", new { on, fitterId = yard.FitterId }, ("If-Match", etag))).Should(HttpStatusCode.OK);

        var refused = (await service.Admin.PostAsync($"/v1/people/{yard.FitterId}/erase")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        Assert.Contains(on, refused["detail"]!.GetValue<string>(), StringComparison.Ordinal);
        etag = (await service.Admin.GetAsync($"/v1/checks/{check}")).Etag;
        (await service.Admin.PostAsync($"/v1/checks/{check}/unbook", new { reason = "Leaves." }, ("If-Match", etag))).Should(HttpStatusCode.OK);
        (await service.Admin.PostAsync($"/v1/people/{yard.FitterId}/erase")).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task Erased_person_canNeitherBeNamedNorChangedNorErasedAgain()
    {
        await using var yard = await MeasuringYard.StartAsync();
        (await yard.Admin.PostAsync($"/v1/people/{yard.FitterId}/erase", new { }, ("Idempotency-Key", "once"))).Should(HttpStatusCode.OK);
        var left = await yard.Admin.GetAsync($"/v1/people/{yard.FitterId}");

        Assert.NotNull(left["erasedAt"]);
        (await yard.Recorder.PostAsync(yard.Measurements, yard.Session("2026-03-02T15:00:00Z", [310]))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");
        (await yard.Admin.PutAsync($"/v1/people/{yard.FitterId}", new { name = "Morwen", role = "fitter", yardIds = new[] { yard.YardId } }, ("If-Match", left.Etag))).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await yard.Admin.PostAsync($"/v1/people/{yard.FitterId}/erase")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await yard.Admin.PostAsync($"/v1/people/{yard.FitterId}/erase", new { }, ("Idempotency-Key", "once"))).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task Erase_withAKeyOfSomeOfTheirYards_isRefused()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var other = (await yard.Admin.GetAsync("/v1/yards")).Items.Select(y => y!["id"]!.GetValue<string>()).First(id => id != yard.YardId);
        var both = await yard.Admin.MakeAsync("/v1/people", new { name = Name, role = "fitter", yardIds = new[] { yard.YardId, other } });

        (await (await yard.KeyAsync("admin")).PostAsync($"/v1/people/{both}/erase")).ShouldBeProblem(HttpStatusCode.Conflict, "conflict");
        (await yard.Manager.PostAsync($"/v1/people/{both}/erase")).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
        (await yard.Stranger.PostAsync($"/v1/people/{yard.FitterId}/erase")).ShouldBeProblem(HttpStatusCode.Forbidden, "wrong-scope");
    }

    private static async Task<string> FitterAsync(MeasuringYard yard)
    {
        var person = new { name = Before, role = "fitter", email = Email, yardIds = new[] { yard.YardId } };
        var made = (await yard.Admin.PostAsync("/v1/people", person, ("Idempotency-Key", "fitter"))).Should(HttpStatusCode.Created);
        (await yard.Admin.PutAsync($"/v1/people/{made["id"]}", new { name = Name, person.role, person.email, person.yardIds }, ("If-Match", made.Etag))).Should(HttpStatusCode.OK);
        return made["id"]!.GetValue<string>();
    }

    private static bool Mentions(string text) =>
        new[] { Before, Email, Name }.Any(known => text.Replace("O'Halest", "", StringComparison.Ordinal).Contains(known, StringComparison.OrdinalIgnoreCase));
}
