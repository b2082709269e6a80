namespace BackTracker.Benchmarks.Load;

/// <summary>The real service under traffic like a real installation's, for herds of several sizes.</summary>
internal static class LoadTimes
{
    private static readonly TimeSpan WatchEvery = TimeSpan.FromSeconds(2);

    /// <summary>Makes the traffic and prints what came of it; false where an answer was not one to expect.</summary>
    public static async Task<bool> ReportAsync(LoadOptions options)
    {
        var isFine = true;
        foreach (var horses in options.Horses)
            isFine &= await ReportAsync(options, horses);
        return isFine;
    }

    private static async Task<bool> ReportAsync(LoadOptions options, int horses)
    {
        await using var store = await HerdStore.FillAsync(options, horses);
        await store.TimeBackupAsync();
        await using var hooks = await Hooks.StartAsync();
        await using var others = await Hooks.StartAsync();
        using var service = await LoadedService.StartAsync(store);
        var yards = await Installation.SettleAsync(service.Http);
        await service.SettledAsync(); // A new fitter has every horse of the yard assessed again.
        await Installation.SubscribeAsync(service.Http, hooks.Url);
        await Installation.SubscribeAsync(service.Http, others.Url);
        // What is hot is compiled anew after some seconds.
        await Crowd.LetInAsync(service, yards, options with { Length = TimeSpan.FromSeconds(10), Rate = 0 }, WatchEvery);
        var traffic = await Crowd.LetInAsync(service, yards, options, WatchEvery);
        Report(options, horses, traffic);
        if (options.Writes > 0)
            await Promptness.ReportAsync(service, store, yards, hooks, options);
        service.ReportComplaints();
        Console.WriteLine();
        return traffic.Faults.Count == 0;
    }

    /// <summary>Prints what came of some traffic.</summary>
    public static void Report(LoadOptions options, int horses, Traffic traffic)
    {
        var (first, last) = (traffic.Standings[0], traffic.Standings[^1]);
        var processor = last.ProcessorSeconds - first.ProcessorSeconds;
        var how = options.Rate > 0 ? FormattableString.Invariant($"{options.Rate} acts a second") : FormattableString.Invariant($"{options.Workers} at once");
        Say.Line($"load of {horses} horses on {options.StoreName}, {how}, {traffic.Seconds:F0} s: {traffic.Calls.Count / traffic.Seconds:F0} requests/s, {traffic.Calls.Count / processor:F0} for each second of processor; the service had {processor / traffic.Seconds:F2} processors, its callers {traffic.ClientProcessorSeconds / traffic.Seconds:F2}");
        Calls.Report(traffic.Calls, traffic.Seconds);
        Range("working set, MiB", traffic, standing => standing.ResidentMiB);
        Range("managed heap, MiB", traffic, standing => standing.HeapMiB);
        Range("horses to assess", traffic, standing => standing.QueueLength);
        Range("the oldest, s", traffic, standing => standing.QueueAgeSeconds);
        Range("deliveries to make", traffic, standing => standing.OutboxLength);
        Range("the oldest, s", traffic, standing => standing.OutboxAgeSeconds);
        foreach (var fault in traffic.Faults)
            Console.WriteLine($"not to be expected: {fault}");
    }

    private static void Range(string what, Traffic traffic, Func<Standing, double> of)
    {
        var values = traffic.Standings.Select(of).ToList();
        Say.Line($"{what,-22} first {values[0]:F1}, middle {values[values.Count / 2]:F1}, last {values[^1]:F1}, most {values.Max():F1}");
    }
}
