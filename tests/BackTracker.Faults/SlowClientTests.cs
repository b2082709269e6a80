using System.Diagnostics;
using System.Globalization;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Faults;

/// <summary>The real binary among clients that say everything slowly, or never hear the answer out: others are served, and those are shown out.</summary>
public sealed class SlowClientTests
{
    private const int OfEachKind = 40;
    private static readonly Dictionary<string, string> Limits = new()
    {
        ["BackTracker__Limits__HeaderSeconds"] = "2",
        ["BackTracker__Limits__BodyBytesPerSecond"] = "1000",
        ["BackTracker__Limits__AnswerBytesPerSecond"] = "1000000",
    };

    [Fact]
    public async Task SlowOnes_areShownOut_andHoldUpNobody()
    {
        using var folder = await FaultFolder.MakeAsync();
        await using var service = await ServiceProcess.StartAsync(folder.Data, Limits);
        using var client = new Client(service.Address, folder.Key);
        var burst = new Burst(await MeasuredHorse.SettleAsync(client));
        var head = $"Host: backtracker.test\r\nAuthorization: Bearer {folder.Key}\r\n";
        var heads = await ManyAsync(service, $"GET /v1/yards HTTP/1.1\r\n{head}X-Slow: ");
        var bodies = await ManyAsync(service, $"POST /v1/yards HTTP/1.1\r\n{head}Content-Type: application/json\r\nContent-Length: 1000000\r\n\r\n");
        var deaf = await ManyAsync(service, string.Concat(Enumerable.Repeat($"GET /openapi/v1.json HTTP/1.1\r\n{head}\r\n", 20)));
        var drips = heads.Concat(bodies).Select(slow => slow.DripAsync('a', TimeSpan.FromMilliseconds(300))).ToList();

        var watch = Stopwatch.StartNew();
        await burst.RunAsync(client, 4, () => burst.Taken < 60);
        TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{burst.Taken} acknowledged, {burst.Refused} refused within {watch.Elapsed.TotalSeconds:0.0} s among {OfEachKind * 3} slow ones."));
        Assert.Equal(0, burst.Refused);
        foreach (var (kind, slow) in new[] { ("heads", heads), ("bodies", bodies), ("answers", deaf) })
        {
            await Eventually.TrueAsync(() => Task.FromResult(slow.All(one => one.IsClosed)), () => $"{slow.Count(one => !one.IsClosed)} of {slow.Count} {kind} are still open.", withinSeconds: 60);
            TestContext.Current.TestOutputHelper!.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{kind} closed after {watch.Elapsed.TotalSeconds:0.0} s."));
        }
        await Task.WhenAll(drips);
        foreach (var slow in heads.Concat(bodies).Concat(deaf))
            slow.Dispose();
        TestContext.Current.TestOutputHelper!.WriteLine(await burst.SettleAsync(client));
    }

    private static async Task<IReadOnlyList<BareConnection>> ManyAsync(ServiceProcess service, string begin)
    {
        var many = new List<BareConnection>();
        for (var i = 0; i < OfEachKind; i++)
        {
            many.Add(await BareConnection.OpenAsync(service.Address));
            await many[^1].SayAsync(begin);
        }
        return many;
    }
}
