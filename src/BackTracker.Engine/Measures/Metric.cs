using System.Globalization;

namespace BackTracker.Engine.Measures;

/// <summary>What a number measures; with station and depth it makes a <see cref="Metric"/>.</summary>
public enum Quantity
{
    /// <summary>Width of the back at a depth, mm.</summary>
    Width,

    /// <summary>From the midline to the left flank at a depth, mm.</summary>
    HalfLeft,

    /// <summary>From the midline to the right flank at a depth, mm.</summary>
    HalfRight,

    /// <summary>Width at 30 mm over width at 150 mm; larger = rounder.</summary>
    ShapeRatio,

    /// <summary>Right half less left half over their mean at a depth, percent; + = right larger.</summary>
    Asymmetry,

    /// <summary>Angle of the left flank from the horizontal, degrees.</summary>
    AngleLeft,

    /// <summary>Angle of the right flank from the horizontal, degrees.</summary>
    AngleRight,

    /// <summary>Mean angle of both flanks from the horizontal, degrees.</summary>
    Angle,

    /// <summary>Area between the left flank and its chord, mm2; + = bulging.</summary>
    FillLeft,

    /// <summary>Area between the right flank and its chord, mm2; + = bulging.</summary>
    FillRight,

    /// <summary>Mean area between flank and chord of both sides, mm2; + = bulging.</summary>
    Fill,

    /// <summary>Greatest distance of the topline below a string laid over it, mm.</summary>
    Dip,

    /// <summary>Length from the rear of the shoulder blade to the last rib, mm.</summary>
    SupportLength,

    /// <summary>Height at the withers, mm.</summary>
    WithersHeight,

    /// <summary>Height at the croup, mm.</summary>
    CroupHeight,

    /// <summary>Heart girth, mm.</summary>
    Girth,

    /// <summary>Point of shoulder to point of buttock, mm.</summary>
    BodyLength,

    /// <summary>Body weight, kg.</summary>
    Weight,

    /// <summary>Condition on the scale of 1 to 9 (Henneke et al. 1983, Equine Vet J 15:371-372).</summary>
    ConditionScore1to9,

    /// <summary>Neck crest on the scale of 0 to 5.</summary>
    NeckScore0to5,
}

/// <summary>
/// One thing that is measured and trended, spelt the same everywhere: "T13.width150" is station, quantity and depth in mm;
/// quantities of the whole horse have no station ("girth"). A trend never mixes stations or depths.
/// </summary>
/// <param name="Quantity">What is measured.</param>
/// <param name="Station">Where along the back; null for the whole horse.</param>
/// <param name="DepthMm">Depth below the skin over the midline, 20 to 200 mm; null where depth has no meaning.</param>
public readonly record struct Metric(Quantity Quantity, Station? Station = null, int? DepthMm = null)
{
    // Every reading of a horse is asked which metric it is of, so that it is one comparison and not five.
    private int Code => ((int)Quantity << 16) | ((Station?.Vertebra ?? 0) << 8) | ((DepthMm ?? -1) + 1);

    /// <inheritdoc />
    public bool Equals(Metric other) => Code == other.Code;

    /// <inheritdoc />
    public override int GetHashCode() => Code;

    /// <summary>Width of the back at a station and depth (mm below the midline).</summary>
    public static Metric Width(Station station, int depthMm) => new(Quantity.Width, station, depthMm);

    /// <summary>Unit of the value: "mm", "mm2", "deg", "kg", "%" or "-".</summary>
    public string Unit => Quantity switch
    {
        Quantity.ShapeRatio or Quantity.ConditionScore1to9 or Quantity.NeckScore0to5 => "-",
        Quantity.Asymmetry => "%",
        Quantity.Weight => "kg",
        Quantity.AngleLeft or Quantity.AngleRight or Quantity.Angle => "deg",
        Quantity.FillLeft or Quantity.FillRight or Quantity.Fill => "mm2",
        _ => "mm",
    };

    /// <summary>
    /// Within-session standard deviation to start from, in <see cref="Unit"/>: common practice, no source; replaced by learned ones.
    /// </summary>
    public double StartingSessionSd => Quantity switch
    {
        Quantity.Width => 2,
        Quantity.HalfLeft or Quantity.HalfRight => 1.4,
        Quantity.ShapeRatio => .008,
        Quantity.Asymmetry => 1.5,
        Quantity.AngleLeft or Quantity.AngleRight or Quantity.Angle => .5,
        Quantity.FillLeft or Quantity.FillRight or Quantity.Fill => 120,
        Quantity.Dip => 3,
        Quantity.SupportLength => 8,
        Quantity.WithersHeight or Quantity.CroupHeight => 6,
        Quantity.Girth or Quantity.BodyLength => 12,
        Quantity.Weight => 10,
        _ => .3,
    };

    /// <summary>The metric as written everywhere, for example "T13.width150" or "girth".</summary>
    public override string ToString()
    {
        var name = char.ToLowerInvariant(Quantity.ToString()[0]) + Quantity.ToString()[1..];
        var depth = DepthMm is { } d ? d.ToString(CultureInfo.InvariantCulture) : "";
        return Station is { } station ? $"{station}.{name}{depth}" : $"{name}{depth}";
    }

    /// <summary>Reads a metric written by <see cref="ToString"/>; false for anything else.</summary>
    public static bool TryParse(string? text, out Metric metric)
    {
        metric = default;
        if (string.IsNullOrEmpty(text))
            return false;
        var dot = text.IndexOf('.', StringComparison.Ordinal);
        Station? station = null;
        if (dot >= 0)
        {
            if (!Measures.Station.TryParse(text[..dot], out var parsed))
                return false;
            station = parsed;
        }
        return TryParseName(text[(dot + 1)..], station, out metric) && metric.ToString() == text;
    }

    private static bool TryParseName(string name, Station? station, out Metric metric)
    {
        foreach (var quantity in Enum.GetValues<Quantity>())
        {
            metric = new Metric(quantity, station);
            var bare = new Metric(quantity).ToString();
            if (IsOfDepth(quantity) && station is not null && name.StartsWith(bare, StringComparison.Ordinal)
                && int.TryParse(name.AsSpan(bare.Length), NumberStyles.None, CultureInfo.InvariantCulture, out var depth)
                && depth is >= 20 and <= 200)
            {
                metric = metric with { DepthMm = depth };
                return true;
            }
            if (name == bare && !IsOfDepth(quantity) && (station is not null) == IsOfStation(quantity))
                return true;
        }
        metric = default;
        return false;
    }

    private static bool IsOfDepth(Quantity quantity) =>
        quantity is Quantity.Width or Quantity.HalfLeft or Quantity.HalfRight or Quantity.Asymmetry;

    private static bool IsOfStation(Quantity quantity) => quantity is Quantity.ShapeRatio
        or Quantity.AngleLeft or Quantity.AngleRight or Quantity.Angle or Quantity.FillLeft or Quantity.FillRight or Quantity.Fill;
}
