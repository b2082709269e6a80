namespace BackTracker.Storage;

/// <summary>Conditions of lists.</summary>
internal static class Filters
{
    /// <summary>A condition where something is asked for, and nothing else: "is null or" would keep a database from using an index.</summary>
    public static string Asks(this string? asked, string condition) => asked is null ? "" : $"and {condition}";
}
