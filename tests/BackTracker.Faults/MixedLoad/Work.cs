namespace BackTracker.Faults.MixedLoad;

/// <summary>Something to be done exactly once: however often it is sent, it is the same request under the same key.</summary>
internal sealed record Work(WorkKind Kind, HttpMethod Method, string Path, string Body)
{
    public string Key { get; init; } = "";

    /// <summary>Version that is changed; empty where none is named.</summary>
    public string IfMatch { get; init; } = "";

    /// <summary>Where somebody else may have been first: a booking may be refused, a record may not.</summary>
    public bool MayBeRefused => Kind is WorkKind.Book or WorkKind.Unbook;
}

internal enum WorkKind
{
    Measure,
    Observe,
    Ride,
    Register,
    Void,
    Book,
    Unbook,
}
