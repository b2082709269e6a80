namespace BackTracker.Engine.Checks;

/// <summary>Settings that a yard or a pairing has of its own.</summary>
/// <param name="ByName">Values by name of the setting.</param>
public sealed record PolicyValues(IReadOnlyDictionary<string, double> ByName)
{
    /// <summary>Nothing of its own.</summary>
    public static PolicyValues None { get; } = new(new Dictionary<string, double>());
}
