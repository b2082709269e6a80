namespace BackTracker.Engine.Fit;

/// <summary>
/// Limits of every measure, those of a pairing where it has its own and else the usual ones. A narrow tree has less room than a wide one,
/// because padding never cures a narrow saddle.
/// </summary>
public sealed class FitTolerances
{
    private readonly Dictionary<Measure, Limits> own;

    /// <summary>Tolerances with some limits of their own.</summary>
    /// <param name="own">Limits that replace the usual ones.</param>
    /// <exception cref="ArgumentException">Some limits are not in order.</exception>
    public FitTolerances(IReadOnlyDictionary<Measure, Limits> own)
    {
        ArgumentNullException.ThrowIfNull(own);
        foreach (var (measure, limits) in own)
        {
            if (!limits.AreInOrder)
                throw new ArgumentException($"The limits of {MeasureFacts.Name(measure)} are not in order.", nameof(own));
        }
        this.own = new Dictionary<Measure, Limits>(own);
    }

    /// <summary>The usual limits of everything.</summary>
    public static FitTolerances Default { get; } = new(new Dictionary<Measure, Limits>());

    /// <summary>The limits of a measure, in its unit.</summary>
    public Limits Of(Measure measure) => own.TryGetValue(measure, out var limits) ? limits : Usual(measure);

    /// <summary>The usual limits of a measure; where they come from is told by <see cref="MeasureFacts.Source"/>.</summary>
    public static Limits Usual(Measure measure) => measure switch
    {
        Measure.Width150 => new(-14, -7, 10, 20),
        Measure.Width => new(-20, -10, 15, 30),
        Measure.Angle => new(-8, -4, 2.5, 5),
        Measure.AngleDifference => Limits.Either(3, 6),
        Measure.Channel => new(64, 75, 110, double.PositiveInfinity),
        Measure.PommelClearance => new(30, 45, 75, double.PositiveInfinity),
        Measure.SpineClearance => Limits.Below(21, 14),
        Measure.Bridging => Limits.Above(4, 8),
        Measure.Rocking => Limits.Above(10, 20),
        Measure.Balance => Limits.Either(1.5, 3),
        Measure.Roll => Limits.Either(1, 2),
        Measure.Reach => Limits.Above(-50, 0),
        Measure.ShoulderRoom => Limits.Below(30, 10),
        Measure.Asymmetry150 => Limits.Either(5, 10),
        _ => Limits.Either(10, 20),
    };
}
