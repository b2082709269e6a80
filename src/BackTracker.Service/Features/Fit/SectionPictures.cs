using System.Globalization;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;
using BackTracker.Engine.Sections;
using BackTracker.Service.Features.Profiles;
using BackTracker.Service.Pictures;

namespace BackTracker.Service.Features.Fit;

/// <summary>Pictures of a tree over a section of the back, from the same numbers as the answers.</summary>
internal static class SectionPictures
{
    // A face of 65 points is drawn as well by 17.
    private const int FaceStep = 4;

    /// <summary>Stations that can be drawn, front to rear.</summary>
    public static IReadOnlyList<Station> Stations(KnownPairing known, PairingFit fit) =>
        [.. fit.Covered.Concat(WidthsOf(known).Select(width => width.Station).Where(station => BackAt(known, station, WidthFit.DepthMm, known.AsOf) is not null)).Distinct().Order()];

    /// <summary>The picture of a station on a day.</summary>
    /// <param name="known">What was known of the pairing.</param>
    /// <param name="fit">The saddle laid on the horse for that day.</param>
    /// <param name="station">One of <see cref="Stations"/>.</param>
    /// <param name="on">The day.</param>
    /// <param name="frame">Where the picture is to stand.</param>
    public static string Of(KnownPairing known, PairingFit fit, Station station, DateOnly on, PictureFrame frame) => SectionPicture.Draw(Drawing(known, fit, station, on), frame);

    /// <summary>What that picture shows, for whoever draws it several times or says it in words.</summary>
    public static SectionDrawing Drawing(KnownPairing known, PairingFit fit, Station station, DateOnly on) =>
        fit.Covered.Contains(station) ? Laid(known, fit.SectionOn(station, on), on) : ByWidths(known, WidthsOf(known).First(width => width.Station == station), on);

    private static SectionDrawing Laid(KnownPairing known, SectionUnderTree section, DateOnly on)
    {
        var (back, compared) = (section.Back, section.Compared);
        var depths = new[] { (Mm: compared.DepthUsed30Mm, Left: compared.Left.HalfMismatch30Mm, Right: compared.Right.HalfMismatch30Mm), (Mm: compared.DepthUsed150Mm, Left: compared.Left.HalfMismatch150Mm, Right: compared.Right.HalfMismatch150Mm) };
        return new SectionDrawing(
            known.Trends.Facts.HorseName, known.Pairing.SaddleLabel, back.Station.ToString(), on, ProfileWords.Basis(back), back.Curve, Band(back),
            [Thinned(section.LeftFace, -1), Thinned(section.RightFace, 1)],
            [.. depths.DistinctBy(depth => Math.Round(depth.Mm)).Select(depth => new DrawnDepth(
                depth.Mm, Gap(back.Section.Left, depth.Mm, depth.Left, -1), Gap(back.Section.Right, depth.Mm, depth.Right, 1), Words(depth.Left, depth.Right)))]);
    }

    private static SectionDrawing ByWidths(KnownPairing known, TreeWidth tree, DateOnly on)
    {
        var back = ExpectedSection.AllOn(known.Trends.Back, on).FirstOrDefault(section => section.Station == tree.Station);
        DrawnDepth?[] depths = [Compared(known, tree.Station, ProfileMetrics.UpperDepthMm, tree.Width30Mm, on), Compared(known, tree.Station, WidthFit.DepthMm, tree.Width150Mm, on)];
        return new SectionDrawing(
            known.Trends.Facts.HorseName, known.Pairing.SaddleLabel, tree.Station.ToString(), on,
            back is null ? $"One width was measured at {tree.Station}: it tells no section." : ProfileWords.Basis(back), back?.Curve ?? [], back is null ? [] : Band(back), [],
            [.. depths.OfType<DrawnDepth>()]);
    }

    private static DrawnDepth? Compared(KnownPairing known, Station station, int depthMm, double? treeMm, DateOnly on)
    {
        if (treeMm is not { } tree || BackAt(known, station, depthMm, on) is not { } back)
            return null;
        var words = string.Create(CultureInfo.InvariantCulture, $"tree {tree:0} mm, back {back:0} mm, so {Word(tree - back)}");
        return new DrawnDepth(depthMm, new(-back / 2, -tree / 2), new(back / 2, tree / 2), words);
    }

    private static double? BackAt(KnownPairing known, Station station, int depthMm, DateOnly on) =>
        known.Trends.TryGet(Metric.Width(station, depthMm), out var trend) ? trend.On(on).Mean : null;

    private static IReadOnlyList<TreeWidth> WidthsOf(KnownPairing known) =>
        known.Pairing.Tree == TreeKind.Treeless ? [] : EffectiveTree.On(known.Pairing, known.AsOf)?.Widths ?? [];

    private static List<DrawnHalf> Band(ExpectedSection back) =>
    [
        .. from half in back.HalfWidths
           let band = half.Band(.8)
           from sign in half.Side switch { Side.Left => new[] { -1 }, Side.Right => [1], _ => [-1, 1] }
           select new DrawnHalf(half.DepthMm, sign * half.MeanMm, sign * band.LowMm, sign * band.HighMm),
    ];

    private static List<PointMm> Thinned(IReadOnlyList<PointMm> face, int sign) =>
        [.. face.Where((_, i) => i % FaceStep == 0 || i == face.Count - 1).Select(point => point with { X = sign * point.X })];

    private static DrawnGap? Gap(HalfSection back, double depthMm, double? mismatchMm, int sign) =>
        mismatchMm is { } mismatch && back.OffsetAt(depthMm) is var offset && !double.IsNaN(offset) ? new(sign * offset, sign * (offset + mismatch)) : null;

    private static string Words(double? leftMm, double? rightMm)
    {
        var (left, right) = (Word(leftMm), Word(rightMm));
        return left == right ? $"{left} on either side" : $"{left} on the left, {right} on the right";
    }

    private static string Word(double? treeLessBackMm) => treeLessBackMm switch
    {
        null => "not known",
        > .5 and var wide => string.Create(CultureInfo.InvariantCulture, $"{wide:0} mm wide"),
        < -.5 and var narrow => string.Create(CultureInfo.InvariantCulture, $"{-narrow:0} mm narrow"),
        _ => "as wide as the back",
    };
}
