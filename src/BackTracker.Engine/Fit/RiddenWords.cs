using System.Globalization;
using BackTracker.Engine.Assessments;

namespace BackTracker.Engine.Fit;

/// <summary>A saddle under its rider in words.</summary>
public static class RiddenWords
{
    private const double MostStrain = .6;

    /// <summary>What counts as little room under the front arch with a rider, mm: three fingers (Devereux, p. 553); the numbers are common practice, no source.</summary>
    public static Limits PommelRoom => Limits.Below(40, 25);

    /// <summary>What counts as little room over the spine with a rider, mm: it must clear the processes (Devereux, p. 553); the numbers are common practice, no source.</summary>
    public static Limits SpineRoom => Limits.Below(15, 8);

    /// <summary>"Touches 96 % of the skin under its panel. Presses at most 1.9 times the mean of a tree that follows this back, which itself presses at most 1.3 times."</summary>
    public static string Text(RiddenSaddle saddle)
    {
        ArgumentNullException.ThrowIfNull(saddle);
        return string.Join(' ', Sentences(saddle));
    }

    /// <summary>Which side lies lower; null where neither does. Roll is overstated: its sign counts.</summary>
    public static Side? LowerOn(RiddenSaddle saddle)
    {
        ArgumentNullException.ThrowIfNull(saddle);
        var level = FitTolerances.Usual(Measure.Roll);
        return saddle.Own.Pose.RollDeg <= level.WatchBelow ? Side.Left : saddle.Own.Pose.RollDeg >= level.WatchAbove ? Side.Right : null;
    }

    private static IEnumerable<string> Sentences(RiddenSaddle saddle)
    {
        var own = saddle.Own;
        yield return $"Touches {Words.Percent(own.TouchingShare)} of the skin under its panel.";
        yield return string.Create(CultureInfo.InvariantCulture, $"Presses at most {saddle.Greatest:0.0} times the mean of a tree that follows this back, which itself presses at most {saddle.ConformingGreatest:0.0} times.");
        foreach (var side in Enum.GetValues<Side>().Where(side => own.BridgeMm(side) > 0))
            yield return $"Does not touch over {Words.Whole(own.BridgeMm(side))} mm on the {side.ToString().ToLowerInvariant()}.";
        if (own.OneSideLifts)
            yield return "One side is nowhere on the skin.";
        if (LowerOn(saddle) is { } lower)
            yield return $"Lies lower on the {lower.ToString().ToLowerInvariant()}.";
        if (own.MostStrain > MostStrain)
            yield return $"Somewhere the panel is pressed together by more than {Words.Percent(MostStrain)}: there the picture no longer holds.";
    }
}
