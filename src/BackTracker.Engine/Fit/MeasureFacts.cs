namespace BackTracker.Engine.Fit;

/// <summary>What is fixed of each measure: its unit, where its limits come from, how well a tree can be measured for it.</summary>
public static class MeasureFacts
{
    private const string OneFitting =
        "One fitting is 2 cm across the points (Meschan, Peham, Schobesberger and Licka 2007, Vet J 173:578-584)";

    /// <summary>The measure as written everywhere: "width150", "pommel-clearance".</summary>
    public static string Name(Measure measure) => string.Concat(
        measure.ToString().Select((letter, i) => char.IsUpper(letter) ? $"{(i > 0 ? "-" : "")}{char.ToLowerInvariant(letter)}" : $"{letter}"));

    /// <summary>What is compared, as a fitter says it.</summary>
    public static string Spoken(Measure measure) => FitWords.Name(measure);

    /// <summary>"mm", "deg" or "%".</summary>
    public static string Unit(Measure measure) => measure switch
    {
        Measure.Angle or Measure.AngleDifference or Measure.Balance or Measure.Roll => "deg",
        Measure.Asymmetry150 or Measure.Asymmetry30 => "%",
        _ => "mm",
    };

    /// <summary>Whether it is a matter of the saddle; an uneven back is shown, and alarms nobody.</summary>
    public static bool IsOfSaddle(Measure measure) => measure is not (Measure.Asymmetry150 or Measure.Asymmetry30);

    /// <summary>Whether it is a matter of the saddle that moves with the back; channel, reach and room behind the shoulder blade stand still.</summary>
    public static bool MovesWithTheBack(Measure measure) =>
        IsOfSaddle(measure) && measure is not (Measure.Channel or Measure.Reach or Measure.ShoulderRoom);

    /// <summary>Whether the thickness of the panel has a say in it: how the saddle lies along and across, and the room over the spine.</summary>
    public static bool IsOfPanel(Measure measure) =>
        measure is Measure.Bridging or Measure.Rocking or Measure.Balance or Measure.Roll or Measure.PommelClearance or Measure.SpineClearance;

    /// <summary>Whether it tells how wide or steep the tree is: what padding never cures.</summary>
    public static bool IsOfWidth(Measure measure) => measure is Measure.Width150 or Measure.Width or Measure.Angle;

    /// <summary>Whether it lies on the narrow side: a tree narrower, or steeper, than the back.</summary>
    public static bool IsNarrow(Measure measure, double value) => measure == Measure.Angle ? value > 0 : IsOfWidth(measure) && value < 0;

    /// <summary>
    /// Standard deviation of the finding that comes from measuring the tree and its place, not the back, in the measure's unit. Derived
    /// from a measured width good to <paramref name="treeMm"/> unless said otherwise; common practice, no source.
    /// </summary>
    /// <param name="measure">The measure.</param>
    /// <param name="treeMm">Standard deviation of one measured width of a tree, mm.</param>
    public static double TreeSd(Measure measure, double treeMm) => measure switch
    {
        // Half the width on an arm of 10 cm, on two sides.
        Measure.Angle => double.RadiansToDegrees(Math.Atan(.5 * treeMm / 100)),
        Measure.AngleDifference => 2 * double.RadiansToDegrees(Math.Atan(.5 * treeMm / 100)),
        // Half the width on one side of a flank of about 45 degrees is as much in depth; rocking is 8/3 of the same bend.
        Measure.Bridging => .5 * treeMm,
        Measure.Rocking => .5 * treeMm * 8 / 3,
        // The tree's datum and the level of the topline, each to about half a degree.
        Measure.Balance => .7,
        Measure.Roll => .5,
        // T18 is found again within 34 to 49 mm (Bradley and Nankervis 2019).
        Measure.Reach => 34,
        Measure.ShoulderRoom => 8,
        Measure.Asymmetry150 or Measure.Asymmetry30 => 0,
        _ => treeMm,
    };

    /// <summary>Where the default limits come from.</summary>
    public static string Source(Measure measure) => measure switch
    {
        Measure.Width150 => $"{OneFitting}; watch at half of it, less room when narrow: derived.",
        Measure.Width => $"{OneFitting} and reads 31 mm wide or 41 mm narrow by this comparison; watch at half of it, half the room when narrow: derived.",
        Measure.Angle => "One fitting is 10 degrees included (conference abstract 2023) and reads about 8 degrees by this comparison; less room when narrow: derived.",
        Measure.AngleDifference => "A turn of the drawing by 2 degrees alone makes 5: common practice, no source.",
        Measure.Channel => "About 8 cm (Devereux, p. 553), at least 64 mm (trade guidance); the upper side is common practice, no source.",
        Measure.PommelClearance => "Three fingers (Devereux, p. 553), a finger taken as 15 to 18 mm from memory.",
        Measure.SpineClearance => "Must clear the processes under a rider (Devereux, p. 553): 15 and 8 mm, with 6 mm for the panel that a rider presses together; common practice, no source.",
        Measure.Bridging => "Smaller gaps close under a rider, who presses a panel together by about 6 mm: derived, no published limit.",
        Measure.Rocking => "The same bend as the limits of bridging, of which rocking is 8/3: derived, no published limit.",
        Measure.Balance => "Half a fitting and a fitting pitch a tree by about 1.5 and 3 degrees in the model: derived.",
        Measure.Roll => "The model overstates roll: take its sign and order. Common practice, no source.",
        Measure.Reach => "Not behind T18 (Dyson et al. 2015, as cited); T18 is found again within 34 to 49 mm (Bradley and Nankervis 2019).",
        Measure.ShoulderRoom => "At least 3 cm, of which a rider takes about 1: common practice, no source.",
        Measure.Asymmetry150 => "Noise of 1 % and 5 % for each degree the drawing was turned; left larger at the withers in 70 % of scans (Tabor, Marlin and Williams 2022): shown, no alarm.",
        _ => "Noise of 3 %: shown, no alarm. Common practice, no source.",
    };
}
