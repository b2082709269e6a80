using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Calibration;

/// <summary>Past forecasts, made again from what is stored.</summary>
public sealed class CalibrationTests
{
    private static readonly DateOnly First = new(2025, 9, 1);

    [Theory]
    [InlineData(StoreKind.Sqlite)]
    [InlineData(StoreKind.Postgres)]
    public async Task Calibration_yardWithHistory_holdsEveryForecastAgainstWhatWasMeasured(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        await yard.RecordEveryFourWeeksAsync(First, 300, 302, 301, 304, 303, 305);

        var answer = await AnswerAsync(yard.Reader, yard);

        Assert.Equal(1, Number(answer["horses"]));
        var next = Row(answer, "T13.width150", "next-session");
        // From the third, fourth and fifth session the one after.
        Assert.Equal((3, 3), (Number(next["forecasts"]), Number(next["sessions"])));
        Assert.Equal(3, next["pitCounts"]!.AsArray().Sum(count => Number(count)));
        Assert.InRange(next["rootMeanSquare"]!["model"]!.GetValue<double>(), .1, 5);
        Assert.Equal(Math.Sqrt((9.0 + 1 + 4) / 3), next["rootMeanSquare"]!["lastValue"]!.GetValue<double>(), 1e-9);
        Assert.Equal(2, Number(Row(answer, "T13.width150", "eight-weeks")["forecasts"]));
        Assert.Equal(1, Number(Row(answer, "T13.width150", "twelve-weeks")["forecasts"]));
        var all = Row(answer, null, "next-session");
        Assert.Null(all["bias"]);
        Assert.Equal("Too few sessions to say how sure the forecasts were: 3 of the 30 it takes.", answer["text"]!.GetValue<string>());
    }

    [Fact]
    public async Task Calibration_asOf_looksAtNothingLater()
    {
        await using var yard = await MeasuringYard.StartAsync();
        await yard.RecordEveryFourWeeksAsync(First, 300, 302, 301, 304, 303, 305);

        var answer = await AnswerAsync(yard.Reader, yard, $"?asOf={First.AddDays(3 * 28):yyyy-MM-dd}");

        Assert.Equal(1, Number(Row(answer, "T13.width150", "next-session")["forecasts"]));
        Assert.DoesNotContain(answer["items"]!.AsArray(), row => row!["horizon"]!.GetValue<string>() == "eight-weeks");
    }

    [Fact]
    public async Task Calibration_nothingForecastYet_saysWhatItTakes()
    {
        await using var yard = await MeasuringYard.StartAsync();
        await yard.RecordEveryFourWeeksAsync(First, 300, 302, 301);

        var answer = await AnswerAsync(yard.Reader, yard);

        Assert.Empty(answer["items"]!.AsArray());
        Assert.Contains("four sessions of one metric", answer["text"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Calibration_yardOfOthers_isNotFound()
    {
        await using var yard = await MeasuringYard.StartAsync();

        (await yard.Stranger.GetAsync($"/v1/yards/{yard.YardId}/calibration")).Should(HttpStatusCode.NotFound);
    }

    private static async Task<JsonNode> AnswerAsync(ApiClient client, MeasuringYard yard, string query = "") =>
        (await client.GetAsync($"/v1/yards/{yard.YardId}/calibration{query}")).Should(HttpStatusCode.OK).Body;

    private static JsonNode Row(JsonNode answer, string? metric, string horizon) => answer["items"]!.AsArray().Single(row =>
        row!["metric"]?.GetValue<string>() == metric && row["horizon"]!.GetValue<string>() == horizon)!;

    private static int Number(JsonNode? node) => node!.GetValue<int>();
}
