using BackTracker.Engine.Measures;
using BackTracker.Engine.Profiles;

namespace BackTracker.Service.Features.Measurements;

/// <summary>What is to be noticed about drawn traces: one line of a kind for a station, about the trace that has it worst.</summary>
internal static class TraceAdvice
{
    private const double WantedSpacingMm = 5;

    // Points 15 mm apart put the width 30 mm down off by 1.4 mm (docs/method.md); the sag of a chord grows with its square.
    private const double StudiedSpacingMm = 15;
    private const double StudiedBiasMm = 1.4;

    public static IReadOnlyList<Advice> Of(IEnumerable<(Station Station, Section Section)> traces)
    {
        var stations = traces.GroupBy(t => t.Station, t => t.Section).Select(s => (Place: s.Key.ToString(), Sections: s.ToList())).ToList();
        return
        [
            .. stations.SelectMany(s => OfStation(s.Place, s.Sections)),
            .. NoMarks([.. stations.Where(s => !s.Sections.TrueForAll(section => section.IsMarked))]),
        ];
    }

    private static IEnumerable<Advice> OfStation(string place, List<Section> sections)
    {
        if (Worst(sections, TraceWarning.AmbiguousCrossing, Spread) is { } ambiguous)
            yield return new Advice("ambiguous-crossing", FormattableString.Invariant(
                $"A trace at {place} passes the same depth several times, {Spread(ambiguous):0} mm apart: the place nearest the midline was taken. Look where the pen was set back, and draw it again."), place);
        if (Worst(sections, TraceWarning.Depth150NotReached, section => -Reach(section)) is { } shallow)
            yield return new Advice("depth-not-reached", Shallow(place, shallow), place);
        if (Worst(sections, TraceWarning.DepthShifted, section => Math.Abs(section.DepthShiftMm)) is { } shifted)
            yield return new Advice("depth-shifted", Shifted(place, shifted), place);
        if (Worst(sections, TraceWarning.Reversed, _ => 0) is not null)
            yield return new Advice("reversed", $"A trace at {place} was given from right to left and was turned round. Nothing is to be mended if + is the horse's right.", place);
        if (sections.Max(section => section.SpacingMm) is var spacing && Math.Round(spacing) > WantedSpacingMm)
            yield return new Advice("points-apart", Apart(place, spacing), place);
        if (sections.Select(section => UnevenWords.Of(place, section)).OfType<Unevenness>().OrderByDescending(u => u.TimesTheLimit).FirstOrDefault() is { } uneven)
            yield return new Advice("uneven", uneven.Text, place);
    }

    private static Section? Worst(List<Section> sections, TraceWarning warning, Func<Section, double> badness) =>
        sections.Where(section => new ProfileMetrics(section).Warnings.Contains(warning)).MaxBy(badness);

    private static double Spread(Section section) => new[] { ProfileMetrics.UpperDepthMm, ProfileMetrics.LowerDepthMm }
        .Max(depth => Math.Max(section.Left.SpreadAt(depth), section.Right.SpreadAt(depth)));

    private static double Reach(Section section) => Math.Min(section.Left.DepthReachedMm, section.Right.DepthReachedMm);

    private static string Shallow(string place, Section section)
    {
        double left = section.Left.DepthReachedMm, right = section.Right.DepthReachedMm;
        var side = left >= ProfileMetrics.LowerDepthMm ? " on the right" : right >= ProfileMetrics.LowerDepthMm ? " on the left" : "";
        var lost = Reach(section) < ProfileMetrics.UpperDepthMm ? "30 and 150 mm" : "150 mm";
        return FormattableString.Invariant($"A trace at {place} ends {Reach(section):0} mm down{side}: no width at {lost}, and nothing is guessed. Lay the curve further down the flanks.");
    }

    private static string Shifted(string place, Section section)
    {
        var where = FormattableString.Invariant($"{Math.Abs(section.DepthShiftMm):0} mm {(section.DepthShiftMm > 0 ? "below" : "above")}");
        return section.Marks.Midline is null
            ? $"A trace at {place} crosses the midline {where} its own zero: depths were taken from where it crosses. Look whether x = 0 is the midline."
            : $"A trace at {place} passes {where} the midline mark: depths were taken from the trace. Look whether the mark is where the spine was.";
    }

    private static string Apart(string place, double spacing)
    {
        var bias = StudiedBiasMm * (spacing / StudiedSpacingMm) * (spacing / StudiedSpacingMm);
        return FormattableString.Invariant(
            $"Points {spacing:0} mm apart at {place}: 5 mm or closer is wanted, because the straight line between two points cuts off the curve; this costs about {bias:0.0} mm of the width 30 mm down.");
    }

    private static IEnumerable<Advice> NoMarks(IReadOnlyList<(string Place, List<Section> Sections)> stations)
    {
        if (stations.Count == 0)
            yield break;
        var unmarked = stations.SelectMany(s => s.Sections).Where(section => !section.IsMarked).ToList();
        bool midline = unmarked.Exists(section => section.Marks.Midline is null), level = unmarked.Exists(section => section.Marks.Level is null);
        var marks = (midline, level) switch
        {
            (true, true) => "the midline and a level line",
            (true, false) => "the midline too",
            _ => "a level line too",
        };
        var places = string.Join(", ", stations.Select(s => s.Place));
        yield return new Advice(
            "no-marks", $"Mark {marks} on the paper at {places}, otherwise left and right cannot be told apart. Widths and the mean of both sides stand without.",
            stations is [var only] ? only.Place : null);
    }
}
