namespace BackTracker.Benchmarks.Load;

/// <summary>As much mixed traffic as the service can take, for long, of which nothing stays: whether its memory and its slowest answers stay as they are, and all is answered as it is to be.</summary>
internal static class Soak
{
    private const double MemoryMayGain = .1;
    private const double SlownessMayGain = .25;
    private const double WaitsAtMostSeconds = 60;
    private static readonly TimeSpan WarmUp = TimeSpan.FromSeconds(30);
    private static readonly TimeSpan Window = TimeSpan.FromSeconds(10);

    public static LoadOptions Usual { get; } = new() { Horses = [1000], Length = TimeSpan.FromMinutes(10), Recorded = Recorded.IsTakenBack };

    public static async Task<bool> IsSteadyAsync(LoadOptions options)
    {
        await using var store = await HerdStore.FillAsync(options, options.Horses[0]);
        await using var hooks = await Hooks.StartAsync();
        using var service = await LoadedService.StartAsync(store);
        var yards = await Installation.SettleAsync(service.Http);
        await service.SettledAsync(); // A new fitter has every horse of the yard assessed again.
        await Installation.SubscribeAsync(service.Http, hooks.Url);
        await Crowd.LetInAsync(service, yards, options with { Length = WarmUp }, Window);
        var traffic = await Crowd.LetInAsync(service, yards, options, Window);
        LoadTimes.Report(options, options.Horses[0], traffic);
        var windows = traffic.Standings.SkipLast(1).Zip(traffic.Standings.Skip(1).SkipLast(1)).Select(pair => new Stretch(
            pair.Second, pair.Second.ProcessorSeconds - pair.First.ProcessorSeconds, [.. traffic.Calls.Where(call => IsIn(call, pair.Second.AtSeconds))])).ToList();
        foreach (var window in windows)
            Say.Line($"{window.Standing.AtSeconds,6:F0} s {window.Standing.ResidentMiB,7:F0} MiB, heap {window.Standing.HeapMiB,6:F0} MiB, {window.Calls.Count / Window.TotalSeconds,7:F0}/s, {window.ProcessorMs,5:F2} ms of processor each, p99 {window.P99,6:F1} ms, {window.Calls.Count(call => call.IsWrong)} errors, {window.Standing.QueueLength:F0} to assess since {window.Standing.QueueAgeSeconds:F1} s, {window.Standing.OutboxLength:F0} to tell since {window.Standing.OutboxAgeSeconds:F1} s");
        service.ReportComplaints();
        var verdicts = new[]
        {
            IsFlat("working set, MiB", windows, window => window.Standing.ResidentMiB, MemoryMayGain),
            IsFlat("managed heap, MiB", windows, window => window.Standing.HeapMiB, MemoryMayGain),
            // What others take of the machine shows in the times, and hardly in this.
            IsFlat("processor for a request, ms", windows, window => window.ProcessorMs, SlownessMayGain),
            IsFlat("p99, ms", windows, window => window.P99, SlownessMayGain),
            Holds($"errors: {traffic.Calls.Count(call => call.IsWrong)}", !traffic.Calls.Any(call => call.IsWrong)),
            Holds($"longest wait in a queue: {windows.Max(Waited):F1} s", windows.Max(Waited) < WaitsAtMostSeconds),
        };
        return verdicts.All(holds => holds);
    }

    private static double Waited(Stretch window) => Math.Max(window.Standing.QueueAgeSeconds, window.Standing.OutboxAgeSeconds);

    private static bool IsIn(Call call, double end) => call.AtSeconds <= end && call.AtSeconds > end - Window.TotalSeconds;

    /// <summary>Flat is what over the last two thirds gains less than is allowed, or no more than its own error explains, and is not much higher at the end than in the first third.</summary>
    private static bool IsFlat(string what, List<Stretch> windows, Func<Stretch, double> of, double mayGain)
    {
        var third = windows.Count / 3;
        var late = windows.Skip(third).Select(window => (X: window.Standing.AtSeconds / 60, Y: of(window))).ToList();
        var line = StraightLine.Through(late);
        var gain = line.Slope * (late[^1].X - late[0].X) / late.Average(point => point.Y);
        var (first, last) = (windows.Take(third).Average(of), windows.TakeLast(third).Average(of));
        var isFlat = (gain <= mayGain || line.Slope <= 2 * line.SlopeError) && last <= first * (1 + (2 * mayGain));
        return Holds($"{what}: {line.Slope:F2} a minute, standard error {line.SlopeError:F2}, {gain:P0} over the last two thirds; mean of the first third {first:F1}, of the last {last:F1}", isFlat);
    }

    private static bool Holds(FormattableString what, bool holds)
    {
        Console.WriteLine(FormattableString.Invariant($"{(holds ? "steady" : "NOT STEADY")}: {FormattableString.Invariant(what)}"));
        return holds;
    }

    /// <summary>Some seconds of the traffic.</summary>
    private sealed record Stretch(Standing Standing, double ProcessorSeconds, IReadOnlyList<Call> Calls)
    {
        public double ProcessorMs => ProcessorSeconds * 1000 / Math.Max(1, Calls.Count);

        public double P99 { get; } = Load.Calls.Quantile(Calls.Select(call => call.Ms), .99);
    }
}
