using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Story;

/// <summary>The whole job once, as a yard, a fitter and a vet live through it over the API.</summary>
public sealed class StoryTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task AHorseBuildsMuscle_theFitterComesInTime_aLayOffWidensTheForecast_andASoreStopsEverything(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, "2026-03-02T08:00:00Z");
        service.Contract = new ContractWatch();
        var larkfield = await Yardful.SettleAsync(service);

        var check = await BuildUntilACheckOpensAsync(service, larkfield);
        await TheFitterComesAsync(service, larkfield, check);
        await ALayOffWidensTheForecastAsync(service, larkfield);
        await AnOpenSoreStopsEverythingAsync(service, larkfield);
        service.Contract.ShouldHaveFoundNothing(seenAtLeast: 20);
    }

    private static async Task<JsonNode> BuildUntilACheckOpensAsync(RunningService service, Yardful yard)
    {
        double[] t13 = [312, 312.5, 317.5, 322.5, 327, 330, 332, 333.5];
        foreach (var width in t13)
        {
            await yard.MeasureAsync(width);
            if (width == 312.5)
                await service.Admin.PostAsync($"/v1/horses/{yard.HorseId}/events", new { on = Text(yard.Today), kind = "other", note = "Hill work from today." });
            await service.SettledAsync();
            var open = (await service.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}&state=open")).Items;
            var fit = open.FirstOrDefault(c => c!["reasons"]!.AsArray().Any(r => r!["cause"]!.GetValue<string>() == "risk"));
            if (fit is not null)
            {
                await TheForecastNamesTheDayAsync(service, yard, fit);
                return fit;
            }
            await service.PassDaysAsync(28);
        }
        throw new InvalidOperationException("No fit check was opened while the back outgrew the tree.");
    }

    private static async Task TheForecastNamesTheDayAsync(RunningService service, Yardful yard, JsonNode fit)
    {
        var forecast = await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/forecast");
        var due = Day(fit["dueOn"]);
        // A day that was told before stands until the evidence moves it by a week.
        Assert.InRange(Day(forecast["overall"]!["leavesToleranceOn"]!["p20"]).DayNumber - due.DayNumber, -6, 6);
        Assert.True(due > yard.Today, "The check is due before anything could be done.");
        Assert.Equal(due.AddDays(-35), Day(fit["bookBy"]));
        Assert.Contains("T13", fit["reasons"]![0]!["text"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Equal("risk", fit["reasons"]![0]!["cause"]!.GetValue<string>());

        var line = (await service.Admin.GetAsync($"/v1/yards/{yard.YardId}/board"))["horses"]![0]!;
        Assert.Equal("widening", line["trend"]!["direction"]!.GetValue<string>());
        Assert.StartsWith("Bramble: ", line["text"]!.GetValue<string>(), StringComparison.Ordinal);
        (await service.Admin.GetAsync(fit["reasons"]![0]!["assessment"]!.GetValue<string>())).Should(HttpStatusCode.OK);
    }

    private static async Task TheFitterComesAsync(RunningService service, Yardful yard, JsonNode check)
    {
        var fitter = await yard.KeyOfAsync(yard.FitterId, "fit");
        var path = $"/v1/checks/{check["id"]}";
        var before = Day((await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/forecast"))["overall"]!["leavesToleranceOn"]!["p20"]);
        var visitOn = Day(check["dueOn"]).AddDays(-3);

        var read = await fitter.GetAsync(path);
        (await fitter.PostAsync($"{path}/book", new { on = Text(visitOn) })).ShouldBeProblem((HttpStatusCode)428, "if-match-missing");
        var booked = (await fitter.PostAsync($"{path}/book", new { on = Text(visitOn) }, ("If-Match", read.Etag))).Should(HttpStatusCode.OK);
        Assert.Equal(("booked", yard.FitterId), (booked["state"]!.GetValue<string>(), booked["fitterId"]!.GetValue<string>()));

        await service.PassDaysAsync(visitOn.DayNumber - yard.Today.DayNumber);
        read = await fitter.GetAsync(path);
        var done = (await fitter.PostAsync($"{path}/complete", new
        {
            on = Text(visitOn),
            findings = new[] { "Tree pressing behind the shoulder; opened." },
            adjustments = new[] { new { kind = "tree", zones = new[] { new { side = "left", zone = "middle", mm = 7 }, new { side = "right", zone = "middle", mm = 7 } } } },
        }, ("If-Match", read.Etag))).Should(HttpStatusCode.OK);
        Assert.Equal("done", done["state"]!.GetValue<string>());

        await yard.MeasureAsync(331);
        await service.SettledAsync();
        Assert.DoesNotContain((await service.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}&state=open")).Items, c => c!["kind"]!.GetValue<string>() is "fit" or "refit");
        var after = (await service.Admin.GetAsync($"/v1/pairings/{yard.PairingId}/forecast"))["overall"]!["leavesToleranceOn"]!["p20"];
        Assert.True(after is null || Day(after) > before.AddDays(28), "The next due day does not follow from the altered tree.");
    }

    private static async Task ALayOffWidensTheForecastAsync(RunningService service, Yardful yard)
    {
        await service.PassDaysAsync(1);
        var before = await yard.SdAheadAsync(56);
        (await service.Admin.PostAsync($"/v1/horses/{yard.HorseId}/events", new { on = Text(yard.Today), kind = "lay-off", note = "Stone bruise." })).Should(HttpStatusCode.Created);

        var after = await yard.SdAheadAsync(56);

        Assert.True(after > before * 1.3, $"The spread 56 days ahead was {before} mm and is {after} mm.");
    }

    private static async Task AnOpenSoreStopsEverythingAsync(RunningService service, Yardful yard)
    {
        var sore = (await service.Admin.PostAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = Text(yard.Today), kind = "open-sore", station = "T13", note = "Size of a coin." })).Should(HttpStatusCode.Created);
        await service.SettledAsync();
        var open = (await service.Admin.GetAsync($"/v1/checks?horseId={yard.HorseId}&state=open")).Items;
        var vet = open.Single(c => c!["kind"]!.GetValue<string>() == "vet")!;
        var fit = open.Single(c => c!["kind"]!.GetValue<string>() == "fit")!;
        Assert.Equal("now", vet["urgency"]!.GetValue<string>());
        var line = (await service.Admin.GetAsync($"/v1/yards/{yard.YardId}/board"))["horses"]![0]!;
        Assert.Contains("stop, vet first", line["text"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Equal("stop-vet-first", line["pairings"]![0]!["advice"]!.GetValue<string>());

        await NothingIsDoneBeforeTheVetAsync(service, yard, fit);
        var outcome = $"/v1/observations/{sore["id"]}/outcome";
        (await service.Admin.PostAsync(outcome, new { on = Text(yard.Today), by = yard.FitterId, role = "fitter", outcome = "cleared", note = "Looks fine to me." })).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");

        (await service.Admin.PostAsync(outcome, new { on = Text(yard.Today), by = yard.VetId, role = "vet", outcome = "cleared", note = "Healed over." })).Should(HttpStatusCode.OK);
        await service.SettledAsync();
        Assert.Equal("done", (await service.Admin.GetAsync($"/v1/checks/{vet["id"]}"))["state"]!.GetValue<string>());
        var etag = (await service.Admin.GetAsync($"/v1/checks/{fit["id"]}")).Etag;
        (await service.Admin.PostAsync($"/v1/checks/{fit["id"]}/book", new { on = Text(yard.Today), fitterId = yard.FitterId }, ("If-Match", etag))).Should(HttpStatusCode.OK);
    }

    private static async Task NothingIsDoneBeforeTheVetAsync(RunningService service, Yardful yard, JsonNode fit)
    {
        var path = $"/v1/checks/{fit["id"]}";
        var etag = (await service.Admin.GetAsync(path)).Etag;
        foreach (var (action, body) in new (string, object)[]
        {
            ("book", new { on = Text(yard.Today), fitterId = yard.FitterId }),
            ("postpone", new { until = Text(yard.Today.AddDays(30)), reason = "Later.", acceptRisk = true }),
            ("complete", new { on = Text(yard.Today), by = yard.FitterId }),
            ("drop", new { reason = "Not now." }),
        })
            (await service.Admin.PostAsync($"{path}/{action}", body, ("If-Match", etag))).ShouldBeProblem(HttpStatusCode.Conflict, "vet-first");
    }

    private static DateOnly Day(JsonNode? node) => DateOnly.ParseExact(node!.GetValue<string>(), "yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Text(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
