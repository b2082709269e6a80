using System.ComponentModel.DataAnnotations;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Pairings;

/// <summary>Limits of one measure, in its unit; what is left out keeps its default.</summary>
public sealed record LimitsRequest
{
    private const double Largest = 1000;

    /// <summary>Out below this.</summary>
    [Range(-Largest, Largest)]
    public double? OutBelow { get; init; }

    /// <summary>Watch from this downwards.</summary>
    [Range(-Largest, Largest)]
    public double? WatchBelow { get; init; }

    /// <summary>Watch from this upwards.</summary>
    [Range(-Largest, Largest)]
    public double? WatchAbove { get; init; }

    /// <summary>Out above this.</summary>
    [Range(-Largest, Largest)]
    public double? OutAbove { get; init; }

    public Limits Over(Limits usual) => new(OutBelow ?? usual.OutBelow, WatchBelow ?? usual.WatchBelow, WatchAbove ?? usual.WatchAbove, OutAbove ?? usual.OutAbove);
}

/// <summary>Limits of a pairing; what is left out keeps its default.</summary>
public sealed record TolerancesRequest : ICheckedRequest
{
    private static readonly Dictionary<string, Measure> Measures = Enum.GetValues<Measure>().ToDictionary(MeasureFacts.Name);

    /// <summary>Watch from this much too wide, mm, of a tree known by widths. Default 10.</summary>
    [Range(1.0, 100.0)]
    public double? WatchWideMm { get; init; }

    /// <summary>Out from this much too wide, mm, of a tree known by widths. Default 20.</summary>
    [Range(1.0, 100.0)]
    public double? OutWideMm { get; init; }

    /// <summary>Watch from this much too narrow, mm, of a tree known by widths. Default 7.</summary>
    [Range(1.0, 100.0)]
    public double? WatchNarrowMm { get; init; }

    /// <summary>Out from this much too narrow, mm, of a tree known by widths. Default 14.</summary>
    [Range(1.0, 100.0)]
    public double? OutNarrowMm { get; init; }

    /// <summary>Limits of other measures by name, in their units: {"bridging": {"watchAbove": 3, "outAbove": 6}}.</summary>
    [MaxLength(20)]
    public IReadOnlyDictionary<string, LimitsRequest>? Limits { get; init; }

    public FitTolerances ToEngine()
    {
        var own = (Limits ?? new Dictionary<string, LimitsRequest>()).ToDictionary(given => Measures[given.Key], given => given.Value.Over(FitTolerances.Usual(Measures[given.Key])));
        own[Measure.Width150] = Widths();
        return new FitTolerances(own);
    }

    public void Check(Faults faults)
    {
        var widths = Widths();
        if (widths.WatchAbove >= widths.OutAbove)
            faults.Add("/watchWideMm", $"Watching begins before a finding is out: it has to be under {widths.OutAbove} mm.");
        if (widths.WatchBelow <= widths.OutBelow)
            faults.Add("/watchNarrowMm", $"Watching begins before a finding is out: it has to be under {-widths.OutBelow} mm.");
        foreach (var (name, limits) in Limits ?? new Dictionary<string, LimitsRequest>())
            Check(faults, name, limits);
    }

    private static void Check(Faults faults, string name, LimitsRequest limits)
    {
        if (!Measures.TryGetValue(name, out var measure))
            faults.Add($"/limits/{name}", $"There is no such measure. Use one of: {string.Join(", ", Measures.Keys.Except([MeasureFacts.Name(Measure.Width150)]))}.");
        else if (measure == Measure.Width150)
            faults.Add($"/limits/{name}", "Limits of a tree known by widths are watchWideMm, outWideMm, watchNarrowMm and outNarrowMm.");
        else if (!limits.Over(FitTolerances.Usual(measure)).AreInOrder)
            faults.Add($"/limits/{name}", "Limits run in this order: outBelow, watchBelow, watchAbove, outAbove. Those left out keep their default.");
    }

    private Limits Widths()
    {
        var usual = FitTolerances.Usual(Measure.Width150);
        return new(-OutNarrowMm ?? usual.OutBelow, -WatchNarrowMm ?? usual.WatchBelow, WatchWideMm ?? usual.WatchAbove, OutWideMm ?? usual.OutAbove);
    }
}

/// <summary>Limits that apply to a pairing, defaults filled in.</summary>
/// <param name="WatchWideMm">Watch from this much too wide, mm, of a tree known by widths.</param>
/// <param name="OutWideMm">Out from this much too wide.</param>
/// <param name="WatchNarrowMm">Watch from this much too narrow.</param>
/// <param name="OutNarrowMm">Out from this much too narrow.</param>
/// <param name="Limits">Limits of the other measures by name, in their units.</param>
public sealed record TolerancesAnswer(
    double WatchWideMm, double OutWideMm, double WatchNarrowMm, double OutNarrowMm, IReadOnlyDictionary<string, LimitsDocument> Limits)
{
    public static TolerancesAnswer Of(FitTolerances tolerances)
    {
        var widths = tolerances.Of(Measure.Width150);
        return new TolerancesAnswer(
            widths.WatchAbove, widths.OutAbove, -widths.WatchBelow, -widths.OutBelow,
            Enum.GetValues<Measure>().Where(measure => measure != Measure.Width150).ToDictionary(MeasureFacts.Name, measure => LimitsDocument.Of(tolerances.Of(measure))));
    }
}
