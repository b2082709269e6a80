using BackTracker.Engine.Measures;

namespace BackTracker.Service.Http;

/// <summary>Words of the contract in a query string: of lists, and stations.</summary>
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

    /// <summary>The station that was named.</summary>
    /// <exception cref="ProblemException">It is none.</exception>
    public static Station Station(string? word) => Engine.Measures.Station.TryParse(word, out var station)
        ? station
        : throw new ProblemException(ProblemKind.BadQuery, $"'{word}' is not a station. Write it as T13; there are T5 to T18.");
}
