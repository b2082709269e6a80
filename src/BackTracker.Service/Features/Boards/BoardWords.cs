using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Boards;

/// <summary>The board in the words of somebody who runs a yard.</summary>
internal static class BoardWords
{
    /// <summary>Who, what, when and why in one line.</summary>
    public static string Line(
        string horse, IReadOnlyList<NextCheckAnswer> checks, IReadOnlyList<BoardPairingAnswer> pairings, IReadOnlyList<BoardObservationAnswer> observations, DateOnly today)
    {
        var vetFirst = observations.Where(o => o.VetFirst).ToList();
        if (vetFirst.Count > 0)
            return $"{horse}: stop, vet first ({string.Join(", ", vetFirst.Select(o => $"{Kind(o)}, seen {Engine.Words.Day(o.ObservedOn)}"))}).";
        var stop = pairings.Where(p => p.Advice == RideAdvice.DoNotRide).Select(p => $" Do not ride in {p.Saddle.Label} until it has been looked at.").FirstOrDefault();
        if (checks.Count == 0)
            return $"{horse}: nothing to do in sight.{stop}";
        var (next, why) = (checks[0], Why(checks[0]));
        // Said once: the reason of a finding that is out says it itself.
        return $"{horse}: {What(next, today)}. {why}{(why.Contains("Do not ride", StringComparison.Ordinal) ? "" : stop)}".TrimEnd();
    }

    public static string Trend(TrendDocument trend)
    {
        var change = Math.Abs(trend.PerFourWeeks).ToString("0.0", CultureInfo.InvariantCulture);
        var share = (trend.Probability * 100).ToString("0", CultureInfo.InvariantCulture);
        var what = Metric.TryParse(trend.Metric, out var metric) ? MetricWords.Heading(metric) : trend.Metric;
        return trend.Direction switch
        {
            Direction.Widening => $"{what}: widening by about {change} mm in four weeks ({share} % sure).",
            Direction.Narrowing => $"{what}: narrowing by about {change} mm in four weeks ({share} % sure).",
            Direction.Steady => $"{what}: steady.",
            _ => $"{what}: no trend yet.",
        };
    }

    /// <summary>"re-fit before the next ride": what is to be done and when.</summary>
    public static string What(NextCheckAnswer check, DateOnly today) => check switch
    {
        { State: CheckState.Booked, BookedOn: { } on } => $"{Name(check.Kind)} booked for {Engine.Words.Day(on)} (due {Engine.Words.Day(check.DueOn)})",
        { Urgency: Urgency.Now } => $"{Name(check.Kind)} before the next ride",
        { Kind: CheckKind.Remeasure } => check.DueOn < today ? $"measure again, overdue since {Engine.Words.Day(check.DueOn)}" : $"measure again by {Engine.Words.Day(check.DueOn)}",
        _ when check.DueOn < today => $"{Name(check.Kind)} overdue since {Engine.Words.Day(check.DueOn)}, book now",
        _ => $"{Name(check.Kind)} due {Engine.Words.Day(check.DueOn)}, {(check.BookBy <= today ? "book now" : $"book by {Engine.Words.Day(check.BookBy)}")}",
    };

    /// <summary>"Re-fit before the next ride: Brown trail saddle".</summary>
    public static string What(NextCheckAnswer check, BoardHorseAnswer line, DateOnly today)
    {
        var saddle = line.Pairings.FirstOrDefault(p => p.PairingId == check.PairingId)?.Saddle.Label;
        return Engine.Words.Sentence(What(check, today)) + (saddle is null ? "" : $": {saddle}");
    }

    /// <summary>What is urgent gives its gravest cause, the rest the one that sets the day.</summary>
    public static string Why(NextCheckAnswer check) =>
        (check.Urgency == Urgency.Now ? check.Reasons.MinBy(r => r.Cause) : check.Reasons.Count > 0 ? check.Reasons[0] : null)?.Text ?? "";

    /// <summary>A kind of check as people say it.</summary>
    public static string Name(CheckKind kind) => kind switch
    {
        CheckKind.Remeasure => "measure again",
        CheckKind.Flocking => "flocking check",
        CheckKind.Fit => "fit check",
        CheckKind.Refit => "re-fit",
        _ => "vet",
    };

    public static string Kind(BoardObservationAnswer observation) => Words.Write(observation.Kind).Replace('-', ' ');
}
