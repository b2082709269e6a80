using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Http;

/// <summary>What holds on every route alike, under callers that do not wait for each other.</summary>
public sealed class ConventionTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Change_twoAtOnceWithOneEtag_exactlyOneIsTaken(StoreKind store)
    {
        await using var yard = await MeasuringYard.StartAsync(store);
        var path = $"/v1/horses/{yard.HorseId}";
        var etag = (await yard.Admin.GetAsync(path)).Etag;

        for (var round = 0; round < 200; round++)
        {
            var seen = etag;
            Task<Reply> Rename(string name) => yard.Admin.PutAsync(path, new { yardId = yard.YardId, name }, ("If-Match", seen));
            var both = await Task.WhenAll(Rename($"Bramble {round}"), Rename($"Sorrel {round}"));

            Assert.Equal([HttpStatusCode.OK, HttpStatusCode.PreconditionFailed], both.Select(r => r.Status).Order());
            both.Single(r => r.Status == HttpStatusCode.PreconditionFailed).ShouldBeProblem(HttpStatusCode.PreconditionFailed, "stale");
            var taken = both.Single(r => r.Status == HttpStatusCode.OK);
            var read = await yard.Admin.GetAsync(path);
            Assert.Equal((taken.Etag, taken["name"]!.GetValue<string>()), (read.Etag, read["name"]!.GetValue<string>()));
            Assert.NotEqual(seen, taken.Etag);
            etag = taken.Etag;
        }
        var known = await yard.Admin.GetAsync(path, ("If-None-Match", etag));
        Assert.Equal((HttpStatusCode.NotModified, "", etag), (known.Status, known.Text, known.Etag));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Create_twentyAtOnceWithOneKey_makesOne_andAnswersTheSameAfterARestart(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, role: ServiceRole.Api);
        var yardId = await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        Task<Reply> Register(RunningService at) => at.Admin.PostAsync("/v1/horses", new { yardId, name = "Bramble" }, ("Idempotency-Key", "one-horse"));

        var answers = await Task.WhenAll(Enumerable.Range(0, 20).Select(_ => Register(service)));

        Assert.All(answers, a => Assert.Equal((HttpStatusCode.Created, answers[0].Text), (a.Status, a.Text)));
        Assert.Equal(19, answers.Count(a => a.Headers.Contains("Idempotency-Replayed")));
        await service.StopAsync();
        var again = await service.AgainAsync(new Settings());
        var replayed = await Register(again);
        Assert.Equal((HttpStatusCode.Created, answers[0].Text, answers[0].Etag, answers[0].Headers.Location), (replayed.Status, replayed.Text, replayed.Etag, replayed.Headers.Location));
        Assert.Single((await again.Admin.GetAsync($"/v1/horses?yardId={yardId}")).Items);
    }

    [Fact]
    public async Task List_followedByItsLinksWhileRowsComeIn_neitherSkipsNorDoubles()
    {
        var tools = Tool.NodeFolder();
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yardId = await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        Task<string> Register(int number) => service.Admin.MakeAsync("/v1/horses", new { yardId, name = $"Horse {number}" });
        var before = new List<string>();
        for (var number = 0; number < 60; number++)
            before.Add(await Register(number));

        var following = Tool.RunAsync(tools, "node", "follow.cjs", $"{service.Address}/v1/horses?yardId={yardId}&limit=2", service.AdminKey);
        for (var number = 60; !following.IsCompleted && number < 2000; number++)
            await Register(number);
        var seen = JsonNode.Parse(await following)!.AsArray().Select(id => id!.GetValue<string>()).ToList();

        Assert.Equal(seen.Distinct(), seen);
        Assert.Equal(before, seen.Take(before.Count));
    }

    [Fact]
    public async Task MeasurementsOfAPhone_sentTwice_areKeptOnce()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var day = Enumerable.Range(0, 12).Select(i => (Id: Guid.CreateVersion7().ToString(), Body: yard.Session($"2026-11-24T{i + 8:00}:00:00Z", [310 + i], $$"""{"horseId":"{{yard.HorseId}}"}"""))).ToList();

        foreach (var status in new[] { HttpStatusCode.Created, HttpStatusCode.OK })
            foreach (var (id, body) in day)
                (await yard.Recorder.PutAsync($"/v1/measurements/{id}", body)).Should(status);

        Assert.Equal(day.Count, (await yard.Reader.GetAsync(yard.Measurements)).Items.Count);
    }

    [Theory]
    [InlineData("1e309", 400, "malformed")]
    [InlineData("\"NaN\"", 400, "malformed")]
    [InlineData("NaN", 400, "malformed")]
    [InlineData("-Infinity", 400, "malformed")]
    [InlineData("\"1800\"", 400, "malformed")]
    [InlineData("01800", 400, "malformed")]
    [InlineData("-0", 422, "impossible")]
    [InlineData("99999999999999999999999999999999", 422, "impossible")]
    public async Task Number_thatIsNoneOrCannotBe_isRefusedByItsPlace(string number, int status, string kind)
    {
        await using var yard = await MeasuringYard.StartAsync();
        var body = yard.Session("2026-11-24T10:00:00Z", [], """{"girthMm":1800}""").ToJsonString().Replace("1800", number, StringComparison.Ordinal);

        var refused = (await yard.Recorder.PostAsync(yard.Measurements, body)).ShouldBeProblem((HttpStatusCode)status, kind);

        Assert.True(refused["errors"] is null || refused["errors"]!.AsObject().ContainsKey("/girthMm"), refused.Text);
    }

    [Fact]
    public async Task Number_of32Digits_isTheNumberNearest()
    {
        await using var yard = await MeasuringYard.StartAsync();
        var body = yard.Session("2026-11-24T10:00:00Z", [], """{"girthMm":1800}""").ToJsonString().Replace("1800", "1800.1234567890123456789012345678", StringComparison.Ordinal);

        var id = (await yard.Recorder.PostAsync(yard.Measurements, body)).Should(HttpStatusCode.Created)["id"];

        Assert.Equal(1800.1234567890123456789012345678, (await yard.Reader.GetAsync($"/v1/measurements/{id}"))["girthMm"]!.GetValue<double>());
    }

    [Theory]
    [InlineData("2024-02-29", true)]
    [InlineData("2023-02-29", false)]
    [InlineData("0001-01-01", false)]
    [InlineData("2024-2-29", false)]
    [InlineData("2024-02-29T00:00:00Z", false)]
    [InlineData("2024-02-29 ", false)]
    public async Task Day_isOneOfTheCalendarAndNothingElse(string bornOn, bool taken)
    {
        await using var yard = await MeasuringYard.StartAsync();

        var reply = await yard.Manager.PostAsync("/v1/horses", new { yardId = yard.YardId, name = "Plover", bornOn });

        if (taken)
            Assert.Equal(bornOn, reply.Should(HttpStatusCode.Created)["bornOn"]!.GetValue<string>());
        else
            Assert.NotNull(reply.ShouldBeProblem(HttpStatusCode.BadRequest, "malformed")["errors"]!["/bornOn"]);
    }
}
