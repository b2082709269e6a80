using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Commands;

public sealed class ImportCommandTests
{
    private const string Header = "horse,measuredAt,measuredBy,method,exercise,station,depthMm,widthMm,leftHalfMm,rightHalfMm,repeat,weightKg,girthMm,conditionScore1to9,note\n";
    private const string Chip = "826000000000001";

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Import_again_doublesNothing(StoreKind kind)
    {
        await using var served = await ServedFolder.StartAsync(kind);
        var (admin, yard, horse) = await SettleAsync(served);
        var file = await WriteAsync(served,
            $"""
            bramble,2026-03-14T09:30:00Z,ada finch,tape,before,T13,150,300,,,1,512,,5,
            Bramble,2026-03-14T10:30:00+01:00,Ada Finch,tape,before,T13,150,302,,,2,,,,"wool, thick"
            {Chip},2026-04-14T09:30:00Z,Ada Finch,tape,,T18,150,310,154,156,,,,,
            {horse},2026-04-15T09:30:00Z,Ada Finch,tape,,,,,,,,505,1890,,
            """);

        Assert.Equal("3 measurements of 1 horses would be imported\n", (await served.RunAsync("import", file, "--yard", yard, "--dry-run")).ShouldSucceed().Output);
        Assert.Empty((await admin.GetAsync($"/v1/horses/{horse}/measurements")).Items);
        Assert.Equal("3 measurements of 1 horses imported\n", (await served.RunAsync("import", file, "--yard", yard)).ShouldSucceed().Output);
        var again = await served.RunAsync("import", file, "--yard", yard);

        Assert.Equal((0, "0 measurements of 0 horses imported\n"), (again.ExitCode, again.Output));
        Assert.Equal("line 2: already there, left alone\nline 4: already there, left alone\nline 5: already there, left alone\n", again.Error);
        var measured = (await admin.GetAsync($"/v1/horses/{horse}/measurements")).Items;
        Assert.Equal(3, measured.Count);
        Assert.Equal(2, measured[0]!["widths"]!.AsArray().Count);
        Assert.Equal("wool, thick", measured[0]!["note"]!.GetValue<string>());
    }

    [Fact]
    public async Task Import_linesWithFaults_namesAllOfThemAndKeepsNothing()
    {
        await using var served = await ServedFolder.StartAsync();
        var (admin, yard, horse) = await SettleAsync(served);
        var file = await WriteAsync(served,
            """
            Bramble,2026-03-14T09:30:00Z,Ada Finch,tape,before,T13,150,300,,,1,,,,
            Bramble,2026-03-15T09:30:00Z,Ada Finch,tape,before,T13,150,30.2,,,1,,,,
            Bramble,2026-03-16T09:30:00,Ada Finch,ruler,before,T13,150,300mm,,,1,,,,
            Nettle,2026-03-17T09:30:00Z,Ada Finch,tape,before,T13,150,300,,,1,,,,
            Bramble,2026-03-18T09:30:00Z,Bo Reed,tape,before,T13,150,300,,,1,,,,
            Bramble,2026-03-14T09:30:00Z,Ada Finch,calliper,before,T13,150,300,,,2,,,,
            Bramble,2026-03-19T09:30:00Z,Ada Finch,tape,before,T13,150,300,,,1,,,,wool, thick
            Bramble,2199-03-19T09:30:00Z,Ada Finch,tape,before,T13,150,300,,,1,,,,
            """);

        var run = (await served.RunAsync("import", file, "--yard", yard)).ShouldFail(1, "Nothing was imported.");

        foreach (var expected in new[] { "line 3: widthMm:", "line 4: measuredAt:", "line 4: method:", "line 4: widthMm:", "line 5: horse:", "line 6: measuredBy:", "line 7: method:", "line 8: There are 16 cells" })
            Assert.Contains(expected, run.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("line 2:", run.Error, StringComparison.Ordinal);
        Assert.Empty((await admin.GetAsync($"/v1/horses/{horse}/measurements")).Items);
    }

    [Fact]
    public async Task Import_filesThatCannotBe_areToldByLine()
    {
        await using var served = await ServedFolder.StartAsync();
        var (_, yard, _) = await SettleAsync(served);
        foreach (var (content, words) in new[]
        {
            ("horse,measuredAt,method\n", "line 1: The header has no column measuredBy"),
            ("horse,measuredAt,measuredBy,method,colour\n", "line 1: The header has a column `colour`"),
            (Header + "Bramble,2026-03-14T09:30:00Z,Ada Finch,tape,before,T13,150,300,,,1,,,,\"open\n", "line 2: This is no CSV"),
            (Header + "Bramble,2199-03-14T09:30:00Z,Ada Finch,tape,before,T13,150,300,,,1,,,,\n", "line 2: measuredAt: This lies in the future"),
            (Header + "Bramble,2026-03-14T09:30:00Z,Ada Finch,tape,before,,,,,,,,,,\n", "line 2: Nothing was measured"),
        })
        {
            var file = Path.Combine(served.Folder, "book.csv");
            await File.WriteAllTextAsync(file, content, TestContext.Current.CancellationToken);

            (await served.RunAsync("import", file, "--yard", yard)).ShouldFail(1, words);
        }
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Export_toAFile_isTakenInByAnEmptyStore(StoreKind kind)
    {
        await using var served = await ServedFolder.StartAsync(kind);
        var (admin, yard, horse) = await SettleAsync(served);
        (await served.RunAsync("import", await WriteAsync(served, $"{horse},2026-03-14T09:30:00Z,Ada Finch,tape,before,T13,150,300,,,1,512,,5,"), "--yard", yard)).ShouldSucceed();
        var (file, other) = (Path.Combine(served.Folder, "yard.ndjson"), Path.Combine(served.Folder, "other"));
        await served.StopAsync(); // What it still assesses would come between two exports.

        (await served.RunAsync("export", "--yard", yard, file)).ShouldSucceed();
        var text = await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken);
        Assert.Contains("\"kind\":\"measurement\"", text, StringComparison.Ordinal);
        Assert.Equal(text, (await served.RunAsync("export", "--yard", yard)).ShouldSucceed().Output);
        (await served.RunAsync("export", "--yard", yard, file)).ShouldFail(1, "exists already");
        (await CommandRun.OfAsync("key", "add", "--name", "other", "--scopes", "admin", "--data", other)).ShouldSucceed();
        Assert.StartsWith($"{text.Split('\n').Length - 1} records imported\n", (await CommandRun.OfAsync("import", file, "--data", other)).ShouldSucceed().Output, StringComparison.Ordinal);
        Assert.Equal(text, (await CommandRun.OfAsync("export", "--yard", yard, "--data", other)).ShouldSucceed().Output);
    }

    [Fact]
    public async Task Assess_oneHorseAndAll_answersHowMany()
    {
        await using var served = await ServedFolder.StartAsync();
        var (_, _, horse) = await SettleAsync(served);
        await served.StopAsync();

        Assert.StartsWith("1 assessed", (await served.RunAsync("assess")).ShouldSucceed().Output, StringComparison.Ordinal);
        Assert.StartsWith("1 assessed, 0 with news", (await served.RunAsync("assess", "--horse", horse)).ShouldSucceed().Output, StringComparison.Ordinal);
        (await served.RunAsync("assess", "--horse", "nobody")).ShouldFail(1, "There is no horse nobody");
    }

    private static async Task<(ApiClient Admin, string YardId, string HorseId)> SettleAsync(ServedFolder served)
    {
        var admin = await served.AdminAsync();
        var yardId = await admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        await admin.MakeAsync("/v1/people", new { name = "Ada Finch", role = "fitter", yardIds = new[] { yardId } });
        return (admin, yardId, await admin.MakeAsync("/v1/horses", new { yardId, name = "Bramble", microchip = Chip }));
    }

    private static async Task<string> WriteAsync(ServedFolder served, string lines)
    {
        var file = Path.Combine(served.Folder, "book.csv");
        await File.WriteAllTextAsync(file, Header + lines + "\n", TestContext.Current.CancellationToken);
        return file;
    }
}
