using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Priors;

public sealed class PriorTests
{
    private static readonly Metric Width = Metric.Width(Station.Of(8), 150);

    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    /// <summary>Before and after a round: what is in use, what is named, and that either assessment holds what its numbers can be worked out from.</summary>
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Learn_fromAHerd_isUsedAndNamed_andEarlierAssessmentsStayWhatTheyWere(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, role: ServiceRole.Api);
        var (yard, horses) = await service.HerdAsync(45);
        var reader = await service.ClientAsync("read", yard);
        var before = (await reader.GetAsync("/v1/priors")).Should(HttpStatusCode.OK);
        await DrainAsync(service);

        var outcome = await service.Learner().LearnAsync("test", Cancel);
        await service.QueueAsync(horses[0]);
        await DrainAsync(service);

        Assert.Equal((1, null), (outcome.Number, outcome.NotBefore));
        var after = (await reader.GetAsync("/v1/priors")).Should(HttpStatusCode.OK);
        Assert.Equal((TrendModel.Shipped.Version, true), (Text(before.Body, "modelVersion"), before["round"] is null));
        Assert.Equal($"{TrendModel.Shipped.Version}+learned-1-2026-11-25", Text(after.Body, "modelVersion"));
        Assert.Equal(45, after["round"]!["horses"]!.GetValue<int>());
        Assert.Contains("width", after["round"]!["items"]!.AsArray().Select(item => Text(item!, "quantity")));
        Assert.True((await reader.GetAsync("/v1/priors?asOf=2026-11-24"))["round"] is null);
        var byId = (await reader.GetAsync($"/v1/priors/{Text(after["round"]!, "id")}")).Should(HttpStatusCode.OK);
        Assert.Equal(after["round"]!.ToJsonString(), byId.Body.ToJsonString());
        var stored = (await reader.GetAsync($"/v1/horses/{horses[0]}/assessments")).Items;
        Assert.Equal([Text(before.Body, "modelVersion"), Text(after.Body, "modelVersion")], stored.Select(one => Text(one!["outputs"]!, "modelVersion")));
        var facts = await FactsAsync(service, horses[0]);
        foreach (var one in stored)
            HoldsWhatItRestsOn(one!, facts);
        Assert.NotEqual(stored[0]!["outputs"]!["trends"]!.ToJsonString(), stored[1]!["outputs"]!["trends"]!.ToJsonString());
        Assert.Equal(Text(after.Body, "modelVersion"), Text((await reader.GetAsync($"/v1/horses/{horses[0]}/trends")).Body, "modelVersion"));
        Assert.Equal("priors", Text((await service.Admin.GetAsync("/v1/audit?resource=priors")).Items.Single()!, "resource"));
    }

    [Fact]
    public async Task Learn_fromThirtyNineHorses_learnsNothingAndKeepsNothing()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        await service.HerdAsync(39);

        var outcome = await service.Learner().LearnAsync("test", Cancel);

        Assert.Equal((0, 39), (outcome.Number, outcome.Learned.Horses));
        Assert.All(outcome.Learned.Refused, refused => Assert.Equal(PriorRefusal.TooFewHorses, refused.Why));
        Assert.True((await service.Admin.GetAsync("/v1/priors"))["round"] is null);
        Assert.Equal(0, await service.Learner().LookAsync(Cancel));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Look_dayAfterDay_learnsOnceAYear(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, role: ServiceRole.Api);
        await service.HerdAsync(42);

        var rounds = new List<(int Day, long Number)>();
        for (var day = 0; day <= 370; day += day is 0 or >= 360 ? 1 : 40)
        {
            if (await service.Learner().LookAsync(Cancel) is > 0 and var number)
                rounds.Add((day, number));
            service.Clock.Advance(TimeSpan.FromDays(day is 0 or >= 360 ? 1 : 40));
        }

        Assert.Equal([(0, 1L), (365, 2L)], rounds);
        Assert.Equal(DateOnly.FromDateTime(service.Clock.GetUtcNow().UtcDateTime).AddDays(365 - 6), (await service.Learner().LearnAsync("test", Cancel)).NotBefore);
    }

    [Fact]
    public async Task Round_thatIsNotThere_isNotFound_andWithoutAKeyNothingIsTold()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);

        (await service.Admin.GetAsync("/v1/priors/0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await service.Admin.GetAsync("/v1/priors/1")).ShouldBeProblem(HttpStatusCode.NotFound, "not-found");
        (await service.ClientFor("bt_none").GetAsync("/v1/priors")).ShouldBeProblem(HttpStatusCode.Unauthorized, "no-key");
    }

    [Fact]
    public async Task Command_onAnEmptyStore_saysThatNothingWasLearned()
    {
        await using var store = await ServedFolder.EmptyAsync();
        (await store.RunAsync("key", "add", "--name", "first", "--scopes", "admin")).ShouldSucceed();

        Assert.Equal("Nothing was learned from 0 horses: what is in use stays.", (await store.RunAsync("learn-priors")).ShouldSucceed().Lines[0]);
    }

    /// <summary>Widths that grow, first before it is known what goes with weight and then after.</summary>
    [Fact]
    public async Task Muscle_ofAHorseThatWidensAtConstantWeight_isToldOnlyOnceWeightIsKnown()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var (yard, horses) = await service.HerdAsync(45);
        var gaining = await service.GainingHorseAsync(yard);
        var reader = await service.ClientAsync("read", yard);
        async Task<JsonNode> MuscleAsync(string horse) => Assert.Single((await reader.GetAsync($"/v1/horses/{horse}/trends")).Should(HttpStatusCode.OK)["muscle"]!["items"]!.AsArray())!;

        var before = await MuscleAsync(gaining);
        await service.Learner().LearnAsync("test", Cancel);
        var after = await MuscleAsync(gaining);

        Assert.Equal(("not-separated", "not-learned", "widening"), (Text(before, "change"), Text(before, "why"), Text(before, "profile")));
        Assert.StartsWith("The profile is changing; weight not separated.", Text(before, "text"), StringComparison.Ordinal);
        Assert.Null(before["probability"]);
        Assert.Equal(("gaining", "weight", "T8"), (Text(after, "change"), Text(after, "basis"), Text(after, "station")));
        Assert.True(after["probability"]!.GetValue<double>() > .9);
        Assert.Contains("Muscle is the likely reading", Text(after, "text"), StringComparison.Ordinal);
        Assert.All(await Task.WhenAll(horses.Take(5).Select(MuscleAsync)), item => Assert.NotEqual("not-separated", Text(item, "change")));
        Assert.Empty((await reader.GetAsync($"/v1/horses/{gaining}/trends?metric=weight"))["muscle"]!["items"]!.AsArray());
        Assert.Contains("Greve and Dyson 2014", (await reader.GetAsync($"/v1/horses/{gaining}/trends"))["muscle"]!["context"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    /// <summary>The trend of a stored assessment, worked out again from nothing but the measurements and what it stored of priors.</summary>
    private static void HoldsWhatItRestsOn(JsonNode stored, HorseFacts facts)
    {
        var learned = Json.Read<LearnedPriors>(stored["inputs"]!["priors"]!.ToJsonString());
        var model = TrendModel.Shipped.With(learned);
        var errors = stored["inputs"]!["errors"]!.AsArray().Single()!["sd"]!.GetValue<double>();
        var series = SeriesBuilder.Build(facts with { Errors = facts.Errors.StartingFrom(learned) }, Width);
        var again = MetricTrend.Fit(series with { Points = [.. series.Points.Select(point => point with { RepeatSd = errors })] }, model);
        var trend = stored["outputs"]!["trends"]![0]!;
        Assert.Equal(model.Version, Text(stored["outputs"]!, "modelVersion"));
        Assert.Equal(again.Rate.StandardError * 28, trend["perFourWeeksSe"]!.GetValue<double>(), 1e-9);
        Assert.Equal(again.LeastRealChange, trend["leastRealChange"]!.GetValue<double>(), 1e-9);
    }

    private static async Task<HorseFacts> FactsAsync(RunningService service, string horse)
    {
        await using var session = await service.Database.ReadAsync(Cancel);
        return (await HorseFactsLoader.LoadAsync(session, horse, new())).Facts;
    }

    private static Task<DrainResult> DrainAsync(RunningService service) => service.Services.GetRequiredService<Assessor>().DrainAsync(Cancel);

    private static string Text(JsonNode node, string member) => node[member]?.GetValue<string>() ?? "";
}
