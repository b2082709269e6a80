namespace BackTracker.Storage;

/// <summary>A stretch of a list in order of id.</summary>
/// <param name="After">Id after which it begins; empty for the beginning.</param>
/// <param name="Limit">Most rows, 1 to 500.</param>
public readonly record struct Page(string After, int Limit)
{
    internal int LimitAndOne => Limit + 1;
}

/// <summary>Rows of a page and where the next one begins.</summary>
/// <typeparam name="T">Kind of row.</typeparam>
/// <param name="Items">The rows.</param>
/// <param name="NextAfter">The id to go on after; null on the last page.</param>
public sealed record Paged<T>(IReadOnlyList<T> Items, string? NextAfter)
{
    internal static Paged<T> From(IReadOnlyList<T> rows, Page page, Func<T, string> id) =>
        rows.Count <= page.Limit ? new(rows, null) : new([.. rows.Take(page.Limit)], id(rows[page.Limit - 1]));
}

/// <summary>The yards a caller may see; goes into the where clause of every query, so that what belongs to others is simply not there.</summary>
/// <param name="EveryYard">1 for all yards, else 0.</param>
/// <param name="Yards">Ids of the yards; never empty, so that it can stand in an `in`.</param>
public sealed record Sight(int EveryYard, IReadOnlyList<string> Yards)
{
    /// <summary>Sees everything: the service itself.</summary>
    public static Sight All { get; } = new(1, ["-"]);

    /// <summary>Sees some yards.</summary>
    public static Sight Of(IReadOnlyCollection<string> yards) => new(0, yards.Count == 0 ? ["-"] : [.. yards]);

    /// <summary>Whether a yard is seen.</summary>
    public bool Covers(string yardId) => EveryYard == 1 || Yards.Contains(yardId);
}
