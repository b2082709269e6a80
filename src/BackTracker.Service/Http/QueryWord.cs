namespace BackTracker.Service.Http;

/// <summary>Enum values in a query string, as the words of the contract.</summary>
internal static class QueryWord
{
    /// <summary>The word where it is one, null where none was given.</summary>
    /// <exception cref="ProblemException">It is another word.</exception>
    public static string? Check<T>(string name, string? word) where T : struct, Enum => Of<T>(name, word) is null ? null : word;

    /// <summary>The value of the word, null where none was given.</summary>
    /// <exception cref="ProblemException">It is another word.</exception>
    public static T? Of<T>(string name, string? word) where T : struct, Enum =>
        word is null ? null
        : Words.TryParse<T>(word, out var value) ? value
        : throw new ProblemException(ProblemKind.BadQuery, $"{name} is one of: {string.Join(", ", Words.Of<T>())}.");
}
