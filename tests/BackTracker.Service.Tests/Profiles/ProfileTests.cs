using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Profiles;

public sealed class ProfileTests
{
    [Fact]
    public async Task Profiles_tracedHorse_giveSectionBandsAndTheLastTracesOfEveryStation()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(5, _ => new());

        var profiles = await yard.ProfilesAsync();
        var (t13, missing) = (profiles.Items[1]!, profiles["missing"]!.AsArray());
        var (expected, last) = (t13["expected"]!, t13["last"]!);

        Assert.Equal([("T8", 0), ("T13", 210), ("T18", 420)], profiles.Items.Select(item => (Text(item!["station"]), (int)Number(item["positionMm"]))));
        Assert.Equal(("traced", true), (Text(expected["kind"]), expected["sidesKnown"]!.GetValue<bool>()));
        Assert.Equal([30, 30, 60, 60, 90, 90, 120, 120, 150, 150], expected["halfWidths"]!.AsArray().Select(half => half!["depthMm"]!.GetValue<int>()));
        var right = expected["halfWidths"]![9]!;
        Assert.Equal(("right", 153.0), (Text(right["side"]), Math.Round(Number(right["halfMm"]))));
        Assert.True(Number(right["band95"]![0]) < Number(right["band80"]![0]) && Number(right["band80"]![1]) < Number(right["band95"]![1]));
        Assert.Equal((-150, 150), (-Number(expected["points"]![0]![1]), Number(expected["points"]!.AsArray()[^1]![1])));
        Assert.Equal(306, Value(expected, "T13.width150"), 1);
        Assert.Contains(expected["values"]!.AsArray(), value => Text(value!["metric"]) == "T13.fill");

        Assert.Equal((yard.TodayText, 2), (Text(last["on"]), last["repeats"]!.GetValue<int>()));
        Assert.Equal(last["points"]!.AsArray().Count, last["sdMm"]!.AsArray().Count);
        Assert.Empty(last["advice"]!.AsArray());
        Assert.Equal(306, Value(last, "T13.width150"), .1);
        Assert.Empty(missing);
        (await service.Admin.GetAsync($"/v1/measurements/{Text(last["measurementId"])}")).Should(HttpStatusCode.OK);
    }

    [Fact]
    public async Task Profiles_topline_saysHowDeepWhereAndSinceWhen()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(3, _ => new());
        var traced = yard.TodayText;
        service.Clock.Advance(TimeSpan.FromDays(7));
        await yard.MeasureAsync(new() { HasTopline = false });

        var topline = (await yard.ProfilesAsync())["topline"]!;

        Assert.Equal((18, 210, "T13", traced), (Math.Round(Number(topline["dipMm"])), Number(topline["deepestAtMm"]), Text(topline["near"]), Text(topline["lastTracedOn"])));
        Assert.Contains("Topline 18 mm below a string laid over it", Text(topline["text"]), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Profiles_unmarkedCrookedPaper_isNamedAndNeverTakenOut()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await service.Admin.PostTextAsync($"/v1/horses/{yard.HorseId}/measurements", $$"""
            {"measuredAt":"{{yard.TodayText}}T07:00:00Z","measuredBy":"{{yard.ManagerId}}","method":"flexible-curve","exercise":"before",
            "traces":[{"station":"T13","points":{{new Drawing { TurnDeg = 3 }.Points}}}]}
            """);

        var profiles = await yard.ProfilesAsync();
        var (last, expected) = (profiles.Items[0]!["last"]!, profiles.Items[0]!["expected"]!);

        Assert.Contains(last["advice"]!.AsArray(), advice => Text(advice!["code"]) == "uneven" && Text(advice["text"]).EndsWith("Nothing was corrected.", StringComparison.Ordinal));
        Assert.Null(last["sdMm"]);
        Assert.False(expected["sidesKnown"]!.GetValue<bool>());
        Assert.All(expected["halfWidths"]!.AsArray(), half => Assert.Null(half!["side"]));
        Assert.NotEqual(Number(last["points"]![0]![1]), Number(last["points"]!.AsArray()[^1]![1]), 5.0);
    }

    [Fact]
    public async Task Profiles_byWidths_areNamedAModelAndSayWhatATraceWouldBring()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await service.Admin.PostAsync($"/v1/horses/{yard.HorseId}/measurements", new
        {
            measuredAt = service.Clock.GetUtcNow(),
            measuredBy = yard.ManagerId,
            method = "calliper",
            exercise = "before",
            widths = new[]
            {
                new { station = "T13", depthMm = 30, widthMm = 122 }, new { station = "T13", depthMm = 150, widthMm = 306 },
                new { station = "T18", depthMm = 150, widthMm = 320 },
            },
        });

        var profiles = await yard.ProfilesAsync();
        var missing = profiles["missing"]!.AsArray().Select(Text).ToList();

        Assert.Equal("by-widths", Text(profiles.Items[0]!["expected"]!["kind"]));
        Assert.Contains("a model of the back and not the back", Text(profiles.Items[0]!["expected"]!["text"]), StringComparison.Ordinal);
        Assert.Equal((0, 2), (profiles.Items[0]!["last"]!["repeats"]!.GetValue<int>(), profiles.Items.Count));
        Assert.Null(profiles.Items[1]!["expected"]);
        Assert.Null(profiles["topline"]);
        Assert.Contains("Trace the back at T8: nothing was measured there.", missing);
        Assert.Contains(missing, text => text.StartsWith("Trace the back at T18, or measure its widths at 30 and 150 mm", StringComparison.Ordinal) && text.Contains("following the last rib up and forward to the spine", StringComparison.Ordinal));
        Assert.Contains("Trace the back at T13: two widths give a model, a trace gives shape, angle and muscle fill.", missing);
        Assert.Contains(missing, text => text.StartsWith("Measure how far T13 and T18 lie behind T8: ", StringComparison.Ordinal));
        Assert.Contains(missing, text => text.StartsWith("Trace the topline", StringComparison.Ordinal));
    }

    [Fact]
    public async Task Profiles_asOfAndOn_lookAtNothingLaterAndForecast()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureOftenAsync(4, _ => new());
        var (day, then) = (yard.TodayText, await yard.ProfilesAsync());
        service.Clock.Advance(TimeSpan.FromDays(28));
        var on = yard.TodayText;
        await yard.MeasureAsync(new() { WiderMm = 20 });

        var known = await yard.ProfilesAsync($"?asOf={day}");
        var ahead = await yard.ProfilesAsync($"?asOf={day}&on={on}");
        var now = await yard.ProfilesAsync();

        Assert.Equal(then.Text, known.Text);
        Assert.Equal((day, on), (Text(ahead["asOf"]), Text(ahead["on"])));
        Assert.Equal(day, Text(ahead.Items[1]!["last"]!["on"]));
        double Sd(Reply reply) => Number(reply.Items[1]!["expected"]!["halfWidths"]![8]!["sdMm"]);
        Assert.True(Sd(ahead) > Sd(known));
        Assert.True(Value(now.Items[1]!["expected"]!, "T13.width150") > Value(ahead.Items[1]!["expected"]!, "T13.width150") + 3);
        (await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/profiles?on=tomorrow")).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query");
    }

    [Fact]
    public async Task Profiles_nothingMeasured_saysWhatToDo()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await TracedYard.SettleAsync(service);

        var profiles = await yard.ProfilesAsync();

        Assert.Empty(profiles.Items);
        Assert.Equal(
            "Trace the back at T8, T13 and T18: nothing was measured there. Find T18 by following the last rib up and forward to the spine rather than by counting back, and mark it.",
            Text(profiles["missing"]![0]));
    }

    private static string Text(JsonNode? node) => node!.GetValue<string>();

    private static double Number(JsonNode? node) => node!.GetValue<double>();

    private static double Value(JsonNode part, string metric) =>
        Number(part["values"]!.AsArray().Single(value => Text(value!["metric"]) == metric)!["value"]);
}
