using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Features.Fit;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Delivery;

/// <summary>What is told of, and how often.</summary>
public sealed class EventTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Horse_outOfToleranceAndBack_isToldInOrderWithEveryStepOfItsCheck(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store);
        var yard = await Yardful.SettleAsync(service);
        await service.SettledAsync();
        await yard.MeasureAsync(340);
        await service.SettledAsync();
        var check = (await service.Admin.GetAsync("/v1/checks?state=open")).Items.Single(c => c!["kind"]!.GetValue<string>() == "refit")!["id"]!.GetValue<string>();
        await ActAsync(service, check, "book", new { on = "2026-11-26", fitterId = yard.FitterId });
        await ActAsync(service, check, "unbook", new { reason = "The van broke down." });
        await ActAsync(service, check, "postpone", new { until = "2026-11-30", reason = "Away.", acceptRisk = true });
        await service.PassDaysAsync(1);
        await ActAsync(service, check, "complete", new
        {
            on = "2026-11-26",
            by = yard.FitterId,
            adjustments = new[] { new { kind = "tree", zones = new[] { new { side = "left", zone = "middle", mm = 10 }, new { side = "right", zone = "middle", mm = 10 } } } },
        });
        await service.SettledAsync();

        var told = await ToldAsync(service);
        Assert.Equal(["opened open", "booked booked", "moved open", "moved open", "closed done"], OfCheck(told, check));
        Assert.Equal(["out-of-tolerance width150@T13", "restored "], told.Where(t => Name(t).StartsWith("fit.", StringComparison.Ordinal)).Select(t => $"{Name(t)[4..]} {string.Join(',', t["data"]!["out"]!.AsArray())}"));
        Assert.Equal(Enumerable.Range(1, told.Count).Select(n => n.ToString("D12", CultureInfo.InvariantCulture)), told.Select(t => t["sequence"]!.GetValue<string>()));
        Assert.All(told, t => Assert.Equal(("1.0", yard.HorseId, $"urn:backtracker:yard:{yard.YardId}"), (t["specversion"]!.GetValue<string>(), t["subject"]!.GetValue<string>(), t["source"]!.GetValue<string>())));
        foreach (var link in told.Select(t => t["data"]!["link"]!.GetValue<string>()).Distinct())
            (await service.Admin.GetAsync(link)).Should(HttpStatusCode.OK);
        var last = told.Last(t => t["data"]!["checkId"]?.GetValue<string>() == check);
        Assert.Equal((await service.Admin.GetAsync($"/v1/checks/{check}")).Etag.Trim('"'), last["data"]!["version"]!.ToString());
    }

    [Fact]
    public async Task Check_whoseDayComesAndPasses_isToldOnceEachWithItsTrueDay()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, remeasure, due) = await MeasuredAsync(service);

        await service.PassDaysAsync(due.DayNumber - yard.Today.DayNumber);
        Assert.Equal(["opened", "due"], Days(await ToldAsync(service), remeasure, due));
        await service.PassDaysAsync(1);
        Assert.Equal(["opened", "due", "overdue"], Days(await ToldAsync(service), remeasure, due));
        await service.PassDaysAsync(1);
        await service.PassDaysAsync(1);

        Assert.Equal(["opened", "due", "overdue"], Days(await ToldAsync(service), remeasure, due));
    }

    [Fact]
    public async Task Check_thatFellDueWhileNobodyWorked_isToldAfterwardsOnceWithItsTrueDay()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, remeasure, due) = await MeasuredAsync(service);
        await service.PassDaysAsync(due.DayNumber - yard.Today.DayNumber - 1);
        Assert.Equal(["opened"], Days(await ToldAsync(service), remeasure, due));

        await service.PassDaysAsync(20);
        await service.PassDaysAsync(1);

        Assert.Equal(["opened", "due", "overdue"], Days(await ToldAsync(service), remeasure, due));
    }

    [Fact]
    public async Task Check_putOffAfterItWasDue_isDueAnewOnTheNewDay()
    {
        await using var service = await RunningService.StartAsync();
        var (yard, remeasure, due) = await MeasuredAsync(service);
        await service.PassDaysAsync(due.DayNumber - yard.Today.DayNumber);
        var later = due.AddDays(5);
        await ActAsync(service, remeasure, "postpone", new { until = later, reason = "Away." });
        await service.PassDaysAsync(5);
        await service.PassDaysAsync(1);

        var told = (await ToldAsync(service)).Where(t => t["data"]!["checkId"]?.GetValue<string>() == remeasure);
        Assert.Equal(
            [Text(due), Text(later)],
            told.Where(t => Name(t) == "check.due").Select(t => t["data"]!["dueOn"]!.GetValue<string>()));
    }

    [Fact]
    public async Task Booking_thatHasBecomeTooLate_isToldOnceThoughTheCheckIsNotMoved()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = "2026-11-25", kind = "rub", note = "Seen." });
        await service.SettledAsync();
        var check = (await service.Admin.GetAsync("/v1/checks?state=open")).Items.Single(c => c!["kind"]!.GetValue<string>() == "fit")!["id"]!.GetValue<string>();
        await ActAsync(service, check, "postpone", new { until = "2026-12-05", reason = "Resting.", acceptRisk = true });
        await ActAsync(service, check, "book", new { on = "2026-12-05", fitterId = yard.FitterId });
        await service.SettledAsync();

        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = "2026-11-25", kind = "dry-patch", note = "Seen." });
        await service.SettledAsync();
        await service.QueueAsync(yard.HorseId);
        await service.SettledAsync();

        var moved = Assert.Single(await ToldAsync(service), told => Name(told) == "check.moved" && told["data"]!["dueOn"]!.GetValue<string>() == "2026-11-25")["data"]!;
        Assert.Equal((check, "booked", "now", "2026-12-05"), (moved["checkId"]!.GetValue<string>(), moved["state"]!.GetValue<string>(), moved["urgency"]!.GetValue<string>(), moved["bookedOn"]!.GetValue<string>()));
    }

    [Fact]
    public async Task Measurement_whoseRepeatsDisagree_isToldAsOneToRepeat()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var good = await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-11-20T15:00:00Z", [310, 311]));
        var bad = await yard.Recorder.MakeAsync(yard.Measurements, yard.Session("2026-11-21T15:00:00Z", [310, 360]));

        var told = await ToldAsync(yard.Service);
        Assert.Equal(
            [$"measurement.recorded {good} ", $"measurement.recorded {bad} repeat-disagrees", $"measurement.repeat-advised {bad} repeat-disagrees"],
            told.Select(t => $"{Name(t)} {t["data"]!["measurementId"]} {t["data"]!["repeatAdvised"]!.AsArray().FirstOrDefault()}"));
    }

    [Fact]
    public async Task Request_thatIsRefused_tellsNothing()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var session = yard.Session("2026-11-20T15:00:00Z", [310, 311]);
        (await yard.Recorder.PutAsync("/v1/measurements/0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69", With(session, yard.HorseId))).Should(HttpStatusCode.Created);

        (await yard.Recorder.PutAsync("/v1/measurements/0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69", With(session, yard.HorseId))).Should(HttpStatusCode.OK);
        (await yard.Recorder.PostAsync(yard.Measurements, yard.Session("2199-11-20T15:00:00Z", [310]))).ShouldBeProblem(HttpStatusCode.UnprocessableContent, "impossible");

        Assert.Single(await ToldAsync(yard.Service));
    }

    [Theory]
    [InlineData("", "", null)]
    [InlineData("", "a", "backtracker.fit.out-of-tolerance.v1")]
    [InlineData("a", "a", null)]
    [InlineData("a", "a b", "backtracker.fit.out-of-tolerance.v1")]
    [InlineData("a", "b", "backtracker.fit.out-of-tolerance.v1")]
    [InlineData("a b", "a", null)]
    [InlineData("a b", "", "backtracker.fit.restored.v1")]
    public void Change_ofWhatIsOut_isToldWhereSomethingIsNewOrNothingIsLeft(string before, string now, string? type) =>
        Assert.Equal(type, FitEvents.Change(before.Split(' ', StringSplitOptions.RemoveEmptyEntries), now.Split(' ', StringSplitOptions.RemoveEmptyEntries)));

    /// <summary>A horse measured today, the check that asks for the next measurement, and its day.</summary>
    private static async Task<(Yardful Yard, string CheckId, DateOnly Due)> MeasuredAsync(RunningService service)
    {
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(312);
        await service.SettledAsync();
        while (true)
        {
            var found = (await service.Admin.GetAsync("/v1/checks?state=open")).Items.FirstOrDefault(c => c!["kind"]!.GetValue<string>() == "remeasure");
            if (found is not null)
                return (yard, found["id"]!.GetValue<string>(), DateOnly.ParseExact(found["dueOn"]!.GetValue<string>(), "yyyy-MM-dd", CultureInfo.InvariantCulture));
            await service.PassDaysAsync(1);
        }
    }

    /// <summary>Everything told so far, in the order of the horse's events.</summary>
    private static async Task<IReadOnlyList<JsonNode>> ToldAsync(RunningService service)
    {
        await using var connection = await service.Database.Dialect.OpenAsync(TestContext.Current.CancellationToken);
        await using var command = connection.CreateCommand();
        command.CommandText = "select body from outbox order by horse_id, sequence";
        await using var reader = await command.ExecuteReaderAsync(TestContext.Current.CancellationToken);
        var told = new List<JsonNode>();
        while (await reader.ReadAsync(TestContext.Current.CancellationToken))
            told.Add(JsonNode.Parse(reader.GetString(0))!);
        return told;
    }

    private static async Task ActAsync(RunningService service, string check, string action, object body)
    {
        await service.SettledAsync();
        (await service.Admin.PostAsync($"/v1/checks/{check}/{action}", body, ("If-Match", "*"))).Should(HttpStatusCode.OK);
    }

    private static IEnumerable<string> OfCheck(IEnumerable<JsonNode> told, string check) =>
        told.Where(t => t["data"]!["checkId"]?.GetValue<string>() == check && !Name(t).EndsWith("due", StringComparison.Ordinal)).Select(t => $"{Name(t)[6..]} {t["data"]!["state"]}");

    private static IEnumerable<string> Days(IEnumerable<JsonNode> told, string check, DateOnly due) =>
        told.Where(t => t["data"]!["checkId"]?.GetValue<string>() == check && t["data"]!["dueOn"]!.GetValue<string>() == Text(due)).Select(t => Name(t)[6..]);

    private static string Name(JsonNode told) => told["type"]!.GetValue<string>()["backtracker.".Length..^".v1".Length];

    private static string Text(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static JsonNode With(JsonObject session, string horseId)
    {
        var copy = session.DeepClone();
        copy["horseId"] = horseId;
        return copy;
    }
}
