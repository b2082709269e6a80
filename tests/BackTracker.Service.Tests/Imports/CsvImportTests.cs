using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Imports;

public sealed class CsvImportTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Import_ofABook_isTheSameAsPostingOneByOne(StoreKind kind)
    {
        await using var yard = await WebhookYard.StartAsync(kind);
        await using var receiver = await Receiver.StartAsync();
        await yard.SubscribeAsync(receiver.Url);
        var (posted, imported) = (await yard.HorseAsync("Bramble"), await yard.HorseAsync("Nettle"));
        var sessions = Enumerable.Range(0, 9).Select(i => (Day: new DateOnly(2025, 3, 4).AddDays(28 * i), Width: i == 6 ? 352.5 : 305 + .5 * i, Exercise: i % 3 == 0 ? "unknown" : "before")).ToList();
        foreach (var (day, width, exercise) in sessions)
            (await yard.Admin.PostAsync($"/v1/horses/{posted}/measurements", Session(yard.PersonId, day, width, exercise))).Should(HttpStatusCode.Created);
        // In any order: what is recorded comes in the order of the instants.
        var rows = sessions.SelectMany((s, i) => Rows("Nettle", s.Day, s.Width, s.Exercise, i == 6 ? 4 : 1)).OrderBy(r => r.Length).ThenBy(r => r, StringComparer.Ordinal).Reverse();

        var reply = (await yard.Service.ImportAsync(Files.Csv, Files.Header + string.Concat(rows), $"?yardId={yard.YardId}")).Should(HttpStatusCode.Created);

        Assert.Equal((9, 1, 1), (reply["records"]!["measurement"]!.GetValue<int>(), reply["horses"]!.GetValue<int>(), reply["repeatAdvised"]!.GetValue<int>()));
        Assert.Equal(reply.Text, (await yard.Admin.GetAsync(reply.Headers.Location!.ToString())).Text);
        Assert.Equal(await MeasuredAsync(yard, posted), await MeasuredAsync(yard, imported));
        await Eventually.TrueAsync(async () =>
        {
            await yard.PumpAsync();
            return receiver.Received.Count == 20;
        }, () => $"{receiver.Received.Count} events have come.");
        var told = receiver.Received.ToLookup(r => r.HorseId, r => $"{r.Type} {r.Sequence} {r.Json["data"]!["measuredOn"]} {r.Json["data"]!["repeatAdvised"]!.ToJsonString()} {r.Json.AsObject().Select(m => m.Key).Aggregate((a, b) => a + b)}");
        Assert.Equal(told[posted], told[imported]);
        Assert.Equal(10, told[imported].Count());
        await using var session = await yard.Service.Database.ReadAsync(TestContext.Current.CancellationToken);
        Assert.Equal(2, await Storage.WorkQueue.WorkQueueStore.CountAsync(session));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Import_ofABrokenRowInTheMiddle_namesItAndKeepsNothing(StoreKind kind)
    {
        await using var service = await RunningService.StartAsync(kind, role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        var rows = Enumerable.Range(0, 60).Select(i => Row("Bramble", i, i == 30 ? "30.5" : "305")).ToList();
        var before = await StoreContent.ReadAsync(service);

        var dry = await service.ImportAsync(Files.Csv, Files.Header + string.Concat(rows), $"?yardId={yard.YardId}&dryRun=true");

        dry.ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "import-refused");
        Assert.Contains("did you mean", dry["errors"]!["/lines/32/widthMm"]![0]!.GetValue<string>(), StringComparison.Ordinal);
        (await StoreContent.ReadAsync(service)).ShouldEqual(before);
        var refused = await service.ImportAsync(Files.Csv, Files.Header + string.Concat(rows), $"?yardId={yard.YardId}");
        refused.ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "import-refused");
        Assert.Single(refused["errors"]!.AsObject());
        Assert.Empty((await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/measurements")).Items);
        var kept = (await service.Admin.GetAsync("/v1/imports")).Items.Single()!;
        Assert.Equal(("refused", 1L, 32L), (kept["state"]!.GetValue<string>(), kept["faultCount"]!.GetValue<long>(), kept["faults"]![0]!["line"]!.GetValue<long>()));
        var mended = (await service.ImportAsync(Files.Csv, Files.Header + string.Concat(rows).Replace("30.5", "305", StringComparison.Ordinal), $"?yardId={yard.YardId}&dryRun=true")).Should(HttpStatusCode.OK);
        Assert.Equal("checked", mended["state"]!.GetValue<string>());
        Assert.Single((await service.Admin.GetAsync("/v1/imports")).Items);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Import_again_replaysByItsKeyAndElseLeavesAlone(StoreKind kind)
    {
        await using var service = await RunningService.StartAsync(kind, role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        var book = Files.Header + string.Concat(Enumerable.Range(0, 20).Select(i => Row("Bramble", i, "305")));
        var key = ("Idempotency-Key", "one");
        var query = $"?yardId={yard.YardId}";

        var first = (await service.ImportAsync(Files.Csv, book, query, key)).Should(HttpStatusCode.Created);
        var replayed = (await service.ImportAsync(Files.Csv, book, query, key)).Should(HttpStatusCode.Created);
        var again = (await service.ImportAsync(Files.Csv, book, query)).Should(HttpStatusCode.Created);

        Assert.Equal(first.Text, replayed.Text);
        Assert.Equal("true", replayed.Headers.GetValues("Idempotency-Replayed").Single());
        Assert.Equal((0L, 20L, 2L), (again["records"]!["measurement"]!.GetValue<long>(), again["alreadyThere"]!.GetValue<long>(), again["alreadyThereLines"]![0]!.GetValue<long>()));
        (await service.ImportAsync(Files.Csv, book + Row("Bramble", 99, "305"), query, key)).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "idempotency-key-reused");
        Assert.Equal(20, (await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/measurements")).Items.Count);
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Import_ofOneFileAtOnceByTwo_recordsItOnce(StoreKind kind)
    {
        await using var service = await RunningService.StartAsync(kind, role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        var book = Files.Header + string.Concat(Enumerable.Range(0, 400).Select(i => Row("Bramble", i, "305")));

        var replies = await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => service.ImportAsync(Files.Csv, book, $"?yardId={yard.YardId}")));

        Assert.All(replies, r => r.Should(HttpStatusCode.Created));
        Assert.Equal(400, replies.Sum(r => r["records"]!["measurement"]!.GetValue<int>()));
        await using var session = await service.Database.ReadAsync(TestContext.Current.CancellationToken);
        Assert.Equal(400, (await Storage.Measurements.MeasurementStore.LiveOfHorseAsync(session, yard.HorseId)).Count);
    }

    [Fact]
    public async Task Import_ofWhatCannotBeTaken_isRefusedBeforeItIsRead()
    {
        await using var service = await RunningService.StartAsync(settings: new Settings { Limits = new() { ImportMiB = 1 } });
        var (book, large) = (Encoding.UTF8.GetBytes(Files.Header), new byte[(1 << 20) + 1]);

        (await Files.ImportAsync(service.Address, service.AdminKey, "application/json", book)).ShouldBeProblem(HttpStatusCode.UnsupportedMediaType, "media-type");
        (await Files.ImportAsync(service.Address, service.AdminKey, "text/csv; charset=utf-16", book)).ShouldBeProblem(HttpStatusCode.UnsupportedMediaType, "media-type");
        (await Files.ImportAsync(service.Address, service.AdminKey, Files.Csv, large, "", ("Expect", "100-continue"))).ShouldBeProblem(HttpStatusCode.RequestEntityTooLarge, "too-large");
        (await Files.ImportAsync(service.Address, service.AdminKey, Files.Csv, large, "", ("Transfer-Encoding", "chunked"))).ShouldBeProblem(HttpStatusCode.RequestEntityTooLarge, "too-large");
        Assert.Contains("64 MiB", (await TooLargeAsync((64 << 20) + 1)), StringComparison.Ordinal);
        Assert.Empty((await service.Admin.GetAsync("/v1/imports")).Items);
    }

    [Fact]
    public async Task Import_whoseClientHangsUp_leavesNothing()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        var before = await StoreContent.ReadAsync(service);
        using (var client = new TcpClient())
        {
            await client.ConnectAsync("127.0.0.1", new Uri(service.Address).Port, TestContext.Current.CancellationToken);
            var stream = client.GetStream();
            await stream.WriteAsync(Encoding.ASCII.GetBytes($"POST /v1/imports?yardId={yard.YardId} HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {service.AdminKey}\r\nContent-Type: text/csv\r\nContent-Length: 100000\r\n\r\n{Files.Header}{Row("Bramble", 1, "305")}"), TestContext.Current.CancellationToken);
            await Eventually.TrueAsync(async () => (await service.Admin.GetAsync("/v1/imports")).Items is [{ } running] && running["state"]!.GetValue<string>() == "running" && running["bytes"]!.GetValue<long>() > 100, () => "The import was not seen running.");
        }
        await Eventually.TrueAsync(async () => (await service.Admin.GetAsync("/v1/imports")).Items.Count == 0, () => "The import still runs.");

        (await StoreContent.ReadAsync(service)).ShouldEqual(before);
    }

    [Fact]
    public async Task Import_thatAsksFirst_isToldToGoOnOrThatItIsTooLarge()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);

        Assert.StartsWith("HTTP/1.1 100", await AskAsync(service, 1000), StringComparison.Ordinal);
        Assert.StartsWith("HTTP/1.1 413", await AskAsync(service, (64 << 20) + 1), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Import_ofOddFiles_isReadOrToldByLine()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        await service.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Twin" });
        await service.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Twin" });
        var elsewhere = await Yardful.SettleAsync(service, "Mill Bottom");
        var key = (await service.Admin.PostAsync("/v1/keys", new { name = "k", scopes = new[] { "record" }, yardIds = new[] { yard.YardId } }))["secret"]!.GetValue<string>();
        Task<Reply> ImportAsync(string text) => Files.ImportAsync(service.Address, key, Files.Csv, Encoding.UTF8.GetBytes(text), $"?yardId={yard.YardId}");

        var odd = (await ImportAsync("\uFEFF" + (Files.Header + Row("Bramble", 1, "305").Replace(",\n", ",\"two\nlines, \"\"quoted\"\"\"\n", StringComparison.Ordinal) + Row("Bramble", 2, "306")).Replace("\n", "\r\n", StringComparison.Ordinal))).Should(HttpStatusCode.Created);
        var twoInstants = (await ImportAsync(Files.Header + Row("Bramble", 5, "305") + Row("Bramble", 5, "306").Replace("T09:30:00Z", "T09:31:00Z", StringComparison.Ordinal))).Should(HttpStatusCode.Created);
        Assert.Equal((2, 2), (odd["records"]!["measurement"]!.GetValue<int>(), twoInstants["records"]!["measurement"]!.GetValue<int>()));
        Assert.Contains("two\\r\\nlines, \\\"quoted\\\"", (await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/measurements")).Text, StringComparison.Ordinal);

        foreach (var (text, place, words) in new[]
        {
            (Row("Twin", 1, "305"), "/lines/2/horse", "2 horses of the yard are called"),
            (Row(elsewhere.HorseId, 1, "305"), "/lines/2/horse", "no horse"),
            (Row("Bramble", 9, "305").Replace("Isla Brook", elsewhere.ManagerId, StringComparison.Ordinal), "/lines/2/measuredBy", "nobody"),
            (Row("Bramble", 10, "305") + Row("Bramble", 11, "305").Replace(",\n", "," + new string('x', 10 << 20) + "\n", StringComparison.Ordinal), "/lines/3", "no CSV"),
            (Row("Bramble", 12, "305").Replace(",\n", ",\"open\n", StringComparison.Ordinal), "/lines/2", "no CSV"),
            (Row("Bramble", 13, "+305"), "/lines/2/widthMm", "Write a number"),
        })
        {
            var refused = (await ImportAsync(Files.Header + text)).ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "import-refused");
            Assert.True(refused["errors"]![place] is { } found && found[0]!.GetValue<string>().Contains(words, StringComparison.Ordinal), $"{place}: {refused.Text[..Math.Min(500, refused.Text.Length)]}");
        }
    }

    [Fact]
    public async Task Import_wrongFromEndToEnd_listsTheFirstHundredAndSaysHowManyMore()
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);

        var refused = await service.ImportAsync(Files.Csv, Files.Header + string.Concat(Enumerable.Range(0, 250).Select(i => Row("Bramble", i, "wide"))), $"?yardId={yard.YardId}");

        refused.ShouldBeProblem(HttpStatusCode.UnprocessableEntity, "import-refused");
        Assert.Equal(Enumerable.Range(2, 100).Select(line => $"/lines/{line}/widthMm"), refused["errors"]!.AsObject().Select(e => e.Key));
        Assert.Contains("250 faults", refused["detail"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.Contains("150 of them not listed", refused["detail"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    private static string Row(string horse, int day, string width) =>
        $"{horse},{new DateOnly(2024, 1, 1).AddDays(day):yyyy-MM-dd}T09:30:00Z,Isla Brook,tape,before,T13,150,{width},,,1,,,,\n";

    private static object Session(string personId, DateOnly day, double width, string exercise) => new
    {
        measuredAt = $"{day:yyyy-MM-dd}T10:30:00+01:00",
        measuredBy = personId,
        method = "flexible-curve",
        exercise,
        widths = new object[] { new { station = "T13", depthMm = 150, widthMm = width, repeat = 1 }, new { station = "T13", depthMm = 150, widthMm = width + (width > 350 ? 4 : 1), repeat = 2 }, new { station = "T13", depthMm = 30, widthMm = 96.0, leftHalfMm = 48.0, rightHalfMm = 48.0 } },
        weightKg = 500,
        note = "As usual, \"thick\" coat.",
    };

    private static IEnumerable<string> Rows(string horse, DateOnly day, double width, string exercise, double apart)
    {
        var head = $"{horse},{day:yyyy-MM-dd}T09:30:00Z,isla brook,flexible-curve,{exercise}";
        string Text(double number) => number.ToString(CultureInfo.InvariantCulture);
        yield return $"{head},T13,150,{Text(width)},,,1,500,,,\n";
        yield return $"{head},T13,150,{Text(width + apart)},,,2,,,,\n";
        yield return $"{head},T13,30,96,48,48,,,,,\"As usual, \"\"thick\"\" coat.\"\n";
    }

    private static async Task<string> MeasuredAsync(WebhookYard yard, string horseId) => string.Join('\n', (await yard.Admin.GetAsync($"/v1/horses/{horseId}/measurements")).Items
        .Select(m => m!.DeepClone().AsObject()).OrderBy(m => m["measuredAt"]!.GetValue<string>()).Select(m =>
        {
            m.Remove("id");
            m.Remove("horseId");
            m["widths"] = new JsonArray([.. m["widths"]!.AsArray().OrderBy(w => w!.ToJsonString()).Select(w => w!.DeepClone())]);
            return m.ToJsonString();
        }));

    private static async Task<string> TooLargeAsync(long bytes)
    {
        await using var service = await RunningService.StartAsync(role: ServiceRole.Api);
        return await AskAsync(service, bytes);
    }

    /// <summary>Sends a head that asks whether to go on, and returns what comes.</summary>
    private static async Task<string> AskAsync(RunningService service, long bytes)
    {
        using var client = new TcpClient();
        await client.ConnectAsync("127.0.0.1", new Uri(service.Address).Port, TestContext.Current.CancellationToken);
        var stream = client.GetStream();
        await stream.WriteAsync(Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"POST /v1/imports HTTP/1.1\r\nHost: x\r\nAuthorization: Bearer {service.AdminKey}\r\nContent-Type: text/csv\r\nExpect: 100-continue\r\nContent-Length: {bytes}\r\n\r\n")), TestContext.Current.CancellationToken);
        var buffer = new byte[4096];
        var read = await stream.ReadAsync(buffer, TestContext.Current.CancellationToken);
        return Encoding.UTF8.GetString(buffer, 0, read);
    }
}
