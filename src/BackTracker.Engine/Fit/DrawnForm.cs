using System.Numerics;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit.Geometry;
using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Fit;

/// <summary>
/// How a panel follows the back lengthwise, on backs drawn at random: bridging of both sides and rocking. Every draw takes the gap under
/// each patch from its straight line and reads both off as they are read off a back. The draws are the same every time and the same on
/// every day.
/// </summary>
internal sealed class DrawnForm
{
    private const int Draws = 256;
    private readonly DrawnVariable?[] drawn;

    /// <summary>Draws the backs of a day.</summary>
    /// <param name="saddle">The saddle.</param>
    /// <param name="expected">The saddle on the expected back.</param>
    /// <param name="lines">Straight lines of every number of its readings.</param>
    public DrawnForm(LaidSaddle saddle, LaidReading expected, StraightLines lines)
    {
        var patches = saddle.Patches;
        var (middle, slopes) = StraightGaps(expected, lines, patches.Count);
        double[][] normals = [.. Enumerable.Range(0, slopes.Length).Select(direction => EvenDraws.Normals(direction, Draws))];
        double[] left = new double[Draws], right = new double[Draws], rocking = new double[Draws], gaps = [.. middle];
        var field = new GapField(patches, gaps);
        var resting = new RestingSaddle(field);
        for (var draw = 0; draw < Draws; draw++)
        {
            middle.CopyTo(gaps, 0);
            for (var direction = 0; direction < slopes.Length; direction += 2)
                Add(normals[direction][draw], slopes[direction], normals[direction + 1][draw], slopes[direction + 1], gaps);
            (left[draw], right[draw]) = (BridgingGap.Of(field, Side.Left).MostMm, BridgingGap.Of(field, Side.Right).MostMm);
            rocking[draw] = resting.RockingSlope(0) * saddle.LengthMm;
        }
        drawn = [.. saddle.Keys.Select((key, finding) => ValuesOf(key) is { } values ? DrawnVariable.Of(values, normals, lines.SlopesOf(finding)) : null)];

        double[]? ValuesOf(FindingKey key) => key switch
        {
            { Measure: Measure.Rocking } => rocking,
            { Measure: Measure.Bridging, Side: Side.Left } => left,
            { Measure: Measure.Bridging, Side: Side.Right } => right,
            { Measure: Measure.Bridging } => [.. left.Zip(right, Math.Max)],
            _ => null,
        };
    }

    /// <summary>Whether a finding is one that bends too sharply for a straight line.</summary>
    public static bool Tells(FindingKey key) => key.Measure is Measure.Rocking or Measure.Bridging;

    /// <summary>A finding on the drawn backs; null where it is not one of these.</summary>
    public DrawnVariable? Of(int finding) => drawn[finding];

    /// <summary>The mean gap under every patch, and what each direction of the back adds to it; one that adds nothing where their number is odd.</summary>
    private static (double[] Middle, double[][] Slopes) StraightGaps(LaidReading expected, StraightLines lines, int patches)
    {
        var middle = new double[patches];
        double[][] slopes = [.. Enumerable.Range(0, (lines.SlopesOf(0).Length + 1) & ~1).Select(_ => new double[patches])];
        for (var patch = 0; patch < patches; patch++)
        {
            var gap = expected.FirstGap + patch;
            middle[patch] = expected.Numbers[gap] + lines.ShiftOf(gap);
            for (var direction = 0; direction < lines.SlopesOf(gap).Length; direction++)
                slopes[direction][patch] = lines.SlopesOf(gap)[direction];
        }
        return (middle, slopes);
    }

    // Two at a time, since fetching and storing the sums takes longest.
    private static void Add(double times, double[] slopes, double otherTimes, double[] otherSlopes, double[] gaps)
    {
        var (i, many, otherMany) = (0, new Vector<double>(times), new Vector<double>(otherTimes));
        for (; i <= gaps.Length - Vector<double>.Count; i += Vector<double>.Count)
            (new Vector<double>(gaps, i) + (many * new Vector<double>(slopes, i)) + (otherMany * new Vector<double>(otherSlopes, i))).CopyTo(gaps, i);
        for (; i < gaps.Length; i++)
            gaps[i] += (times * slopes[i]) + (otherTimes * otherSlopes[i]);
    }
}
