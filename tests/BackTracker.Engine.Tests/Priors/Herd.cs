using System.Runtime.CompilerServices;
using System.Text.Json.Nodes;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Tests.Assessments;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Tests.Priors;

/// <summary>Herds of simulated horses whose dynamics are known.</summary>
internal static class Herd
{
    public static readonly DateOnly Origin = new(2022, 1, 3);

    public static readonly Metric Width = Metric.Width(Station.Of(13), 150);

    /// <summary>What a herd teaches.</summary>
    public static LearnedPriors Learn(IEnumerable<HorseFacts> horses) => Learn(horses, TrendModel.Shipped);

    /// <summary>The same by another model.</summary>
    public static LearnedPriors Learn(IEnumerable<HorseFacts> horses, TrendModel model)
    {
        var study = new PriorStudy(model);
        foreach (var horse in horses)
            study.Add(horse);
        return study.Learn("test");
    }

    /// <summary>Horses whose rates wander as the model says, each with dynamics of its own from a log-normal population.</summary>
    /// <param name="seed">Seed of the herd.</param>
    /// <param name="count">How many.</param>
    /// <param name="population">Where their dynamics come from.</param>
    public static IEnumerable<HorseFacts> Of(int seed, int count, DynamicsPrior population)
    {
        var random = new Random(seed);
        for (var horse = 0; horse < count; horse++)
            yield return Horse(random, Drawn(random, population.Rate), Drawn(random, population.Tau), Drawn(random, population.Session));
    }

    /// <summary>The 120 horses of tests/check-values/devyard.json with the day-by-day truth; sessions after work are left out of trends.</summary>
    public static IReadOnlyList<(HorseFacts Facts, string Kind, double[] Truth)> Devyard([CallerFilePath] string here = "")
    {
        var file = Path.Combine(Path.GetDirectoryName(here)!, "..", "..", "check-values", "devyard.json");
        return [.. JsonNode.Parse(File.ReadAllText(file))!["horses"]!.AsArray().Select(horse => (FactsOf(horse!), horse!["cls"]!.GetValue<string>(), Numbers(horse["truth_daily"]!)))];
    }

    /// <summary>Share of true levels inside the forecast band of 80 %, four, eight and twelve weeks after the sixth and each third session from there.</summary>
    public static double Cover(IEnumerable<(HorseFacts Facts, string Kind, double[] Truth)> horses, TrendModel model)
    {
        var (inside, count) = (0, 0);
        foreach (var (facts, _, truth) in horses)
        {
            var sessions = SeriesBuilder.Trended(facts).ToList();
            for (var known = 6; known <= sessions.Count; known += 3)
            {
                var on = sessions[known - 1].On;
                var trend = MetricTrend.Fit(SeriesBuilder.Build(facts, Width, on), model);
                foreach (var ahead in new[] { 28, 56, 84 })
                {
                    var level = trend.On(on.AddDays(ahead));
                    var real = truth[on.DayNumber - Origin.DayNumber + ahead];
                    count++;
                    inside += real > level.Quantile(.1) && real < level.Quantile(.9) ? 1 : 0;
                }
            }
        }
        return inside / (double)count;
    }

    private static HorseFacts FactsOf(JsonNode horse)
    {
        var (days, values, repeats) = (Numbers(horse["t"]!), Numbers(horse["y"]!), Numbers(horse["traces"]!));
        return Larkfield.Blank with
        {
            BornOn = null,
            Sessions = [.. days.Select((day, i) => Session(day, values[i], (int)repeats[i], Work(horse["cond"]![i])))],
            Events = [.. horse["events"]!.AsArray().Select((e, i) => new EventFact($"e{i}", Origin.AddDays((int)e!["t"]!.GetValue<double>()), EventKind.Other))],
        };
    }

    private static ExerciseState Work(JsonNode? condition) => condition?.GetValue<double>() switch { null => ExerciseState.Unknown, 0 => ExerciseState.Before, _ => ExerciseState.After };

    /// <summary>A session with a mean; its repeats lie around it as those of a within-session SD of 2 mm do.</summary>
    private static SessionFact Session(double day, double mean, int repeats, ExerciseState exercise)
    {
        double[] around = repeats switch { 1 => [0], 2 => [-Math.Sqrt(2), Math.Sqrt(2)], _ => [-2, 0, 2] };
        return new SessionFact($"s{day:0000}", Origin.AddDays((int)day), exercise, [.. around.Select(off => new Reading(Width, mean + off))]);
    }

    private static HorseFacts Horse(Random random, double rateSd, double tauDays, double sessionSd)
    {
        var (level, rate, day, sessions) = (300.0, rateSd * Gauss(random), 0, new List<SessionFact>());
        for (var session = 0; session < 36; session++)
        {
            sessions.Add(Session(day, level + (Math.Sqrt(2 + (sessionSd * sessionSd)) * Gauss(random)), 2, ExerciseState.Before));
            for (var gap = random.Next(14, 40); gap > 0; gap--, day++)
            {
                level += rate;
                rate = (rate * Math.Exp(-1 / tauDays)) + (rateSd * Math.Sqrt(1 - Math.Exp(-2 / tauDays)) * Gauss(random));
            }
        }
        return Larkfield.Blank with { BornOn = null, Sessions = sessions };
    }

    private static double Drawn(Random random, LogNormal from) => from.Median * Math.Exp(from.LogSd * Gauss(random));

    private static double Gauss(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static double[] Numbers(JsonNode node) => [.. node.AsArray().Select(value => value!.GetValue<double>())];
}
