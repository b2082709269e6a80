using System.Diagnostics;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Fit;

public class PairingFitTests(ITestOutputHelper output)
{
    [Fact]
    public void Show()
    {
        foreach (var facts in new[] { TracedHorse.Settled, TracedHorse.Measured(i => i < 3 ? 0 : 3.5 * (i - 3)), TracedHorse.Settled with { Pairings = [TracedHorse.Pairing("a", -8)] } })
        {
            var a = facts.Assess();
            foreach (var f in a.Pairings[0].Findings) output.WriteLine($"{f.Key,-22} {f.Numbers?.Value:0.00} sd {f.Numbers?.Sd:0.00} p {f.Numbers?.ProbabilityOut:0.000} {f.FlockingMm:0.0} {f.Text}");
            foreach (var m in a.Pairings[0].Missing) output.WriteLine("missing " + m);
            output.WriteLine($"{a.Pairings[0].Outlook}");
            foreach (var w in a.Wanted) output.WriteLine($"{w.Kind} {w.Days} {string.Join(" | ", w.Reasons.Select(r => r.Text))}");
            output.WriteLine("");
        }
    }

    [Fact]
    public void Time()
    {
        var facts = TracedHorse.Measured(i => i < 3 ? 0 : 3.5 * (i - 3), 24) with { Pairings = [TracedHorse.Pairing("a"), TracedHorse.Pairing("b", -3)] };
        for (var i = 0; i < 40; i++) facts.Assess();
        var times = new List<double>();
        for (var i = 0; i < 60; i++) { var s = Stopwatch.GetTimestamp(); facts.Assess(); times.Add(Stopwatch.GetElapsedTime(s).TotalMilliseconds); }
        times.Sort();
        output.WriteLine($"median {times[30]:0.0} max {times[^1]:0.0}");
    }
}
