using System.Diagnostics;
using System.Globalization;
using BackTracker.Benchmarks;
using BackTracker.Benchmarks.Load;
using BackTracker.Benchmarks.Reference;
using BenchmarkDotNet.Running;

// "short" times by the clock and prints one line a measure, for scripts; "pages" the pages of the demo; "import" the import of a file; "reassess" a
// whole herd; "reads" the API beside a bare server (needs wrk); "start" from the start to the first answer; "load" mixed traffic; "soak" the same for
// long, with a verdict; anything else goes to BenchmarkDotNet.
if (args is ["load", .. var load])
{
    Environment.ExitCode = await LoadTimes.ReportAsync(LoadOptions.Parse(load, new LoadOptions())) ? 0 : 1;
    return;
}
if (args is ["soak", .. var soak])
{
    Environment.ExitCode = await Soak.IsSteadyAsync(LoadOptions.Parse(soak, Soak.Usual)) ? 0 : 1;
    return;
}
if (args is ["pages"])
{
    await PageTimes.ReportAsync();
    return;
}
if (args is ["reads"])
{
    await ReadTimes.ReportAsync();
    return;
}
if (args is ["start"])
{
    await StartTimes.ReportAsync();
    return;
}
if (args is ["bare-reads", var folder])
{
    await BareReads.ServeAsync(folder);
    return;
}
if (args is ["import", .. var rows])
{
    await ImportTimes.ReportAsync(rows is [var count] ? int.Parse(count, CultureInfo.InvariantCulture) : 100_000);
    return;
}
if (args is ["reassess", .. var herd])
{
    await ReassessTimes.ReportAsync(herd is [var count] ? int.Parse(count, CultureInfo.InvariantCulture) : 10_000);
    return;
}
if (args is not ["short", ..])
{
    BenchmarkSwitcher.FromAssembly(typeof(TrendBenchmarks).Assembly).Run(args);
    return;
}

var trend = new TrendBenchmarks();
Report("trend.fitWithSixQuantiles", trend.FitWithSixQuantiles);
Report("trend.fit", trend.Fit);
Report("trend.sixQuantiles", trend.SixQuantiles);
Report("trend.smoothed", trend.Smoothed);
var fit = new FitBenchmarks();
Report("fit.cold", fit.Cold);
Report("fit.warm", fit.Warm);
Report("fit.contact", fit.Contact);
var profile = new ProfileBenchmarks();
Report("profile.traceWithAllMetrics", profile.TraceWithAllMetrics);
Report("profile.readingsOfTwoYears", profile.ReadingsOfTwoYears);
Report("passage.oneMeasure", new PassageBenchmarks().OneMeasure);
var assess = new AssessBenchmarks();
Report("assess.horse", assess.Assess);
Report("assess.horseOfOneSaddle", assess.AssessOneSaddle);
Report("assess.trendsOfTheBack", assess.Trends);
Report("assess.fitAndForecastOfASaddle", assess.FitAndForecast);
Report("assess.fitOfASaddle", assess.FitAlone);
var advice = new AdviceBenchmarks();
Report("advice.atThePanel", advice.AtThePanel);
Report("advice.bestCut", advice.BestCut);

// Median of many single runs after warming up by the clock, long enough for the runtime to recompile what is hot: a shared machine spoils means.
static void Report(string name, Func<double> run)
{
    const int rounds = 300;
    var warmUp = Stopwatch.StartNew();
    while (warmUp.Elapsed < TimeSpan.FromSeconds(2))
        run();
    var times = new double[rounds];
    for (var i = 0; i < rounds; i++)
    {
        var start = Stopwatch.GetTimestamp();
        run();
        times[i] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
    }
    Array.Sort(times);
    Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{name} median {times[rounds / 2]:F3} ms, p90 {times[rounds * 9 / 10]:F3} ms, p99 {times[rounds * 99 / 100]:F3} ms"));
}
