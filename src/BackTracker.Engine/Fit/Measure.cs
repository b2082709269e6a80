namespace BackTracker.Engine.Fit;

/// <summary>What is compared between tree and back, in the order in which findings are shown.</summary>
public enum Measure
{
    /// <summary>Tree width less back width, both measured at 150 mm, of a tree known by widths; mm, + = tree wide.</summary>
    Width150,

    /// <summary>Panel face less section at 150 mm, or at the lowest depth that the face has; mm, + = tree wide.</summary>
    Width,

    /// <summary>Slope of the panel face less that of the section, mean of both sides; degrees, + = panel steeper (narrow).</summary>
    Angle,

    /// <summary>The same, left less right; degrees.</summary>
    AngleDifference,

    /// <summary>Width of the channel at its narrowest, mm.</summary>
    Channel,

    /// <summary>Room over the withers under the front arch, without a rider, mm.</summary>
    PommelClearance,

    /// <summary>Least room over the spine behind the front arch, without a rider, mm.</summary>
    SpineClearance,

    /// <summary>Largest gap between panel and skin between two places that carry, mm.</summary>
    Bridging,

    /// <summary>Travel of the tree's ends as it rocks, mm.</summary>
    Rocking,

    /// <summary>Pitch at rest, degrees, + = rear down.</summary>
    Balance,

    /// <summary>Roll at rest, degrees, + = right down.</summary>
    Roll,

    /// <summary>Rear edge of the tree past T18, mm, + = past it.</summary>
    Reach,

    /// <summary>Front edge of the tree behind the shoulder blade, mm.</summary>
    ShoulderRoom,

    /// <summary>Right half of the back less left over their mean at 150 mm, percent: of the horse, not of the saddle.</summary>
    Asymmetry150,

    /// <summary>The same at 30 mm.</summary>
    Asymmetry30,
}

/// <summary>Which finding: a measure, and where it is told apart by them a station and a side.</summary>
/// <param name="Measure">The measure.</param>
/// <param name="Station">The station; null where the measure is of the whole saddle.</param>
/// <param name="Side">The side; null where the measure is of both together.</param>
public readonly record struct FindingKey(Measure Measure, Measures.Station? Station = null, Assessments.Side? Side = null)
{
    /// <summary>"width150@T13", "bridging@left", "rocking".</summary>
    public override string ToString()
    {
        var name = MeasureFacts.Name(Measure);
        var place = string.Join(' ', new[] { Station?.ToString(), Side?.ToString().ToLowerInvariant() }.OfType<string>());
        return place.Length > 0 ? $"{name}@{place}" : name;
    }
}
