using System.Text.Json;

namespace BackTracker.Service.Http;

/// <summary>Enum values as the words of the contract and of the store: kebab case.</summary>
internal static class Words
{
    public static string Write<T>(T value) where T : struct, Enum => Table<T>.ToWord[value];

    public static bool TryParse<T>(string? word, out T value) where T : struct, Enum => Table<T>.FromWord.TryGetValue(word ?? "", out value);

    /// <summary>Reads a word that this service stored.</summary>
    public static T Read<T>(string word) where T : struct, Enum => Table<T>.FromWord[word];

    public static IEnumerable<string> Of<T>() where T : struct, Enum => Table<T>.FromWord.Keys;

    private static class Table<T> where T : struct, Enum
    {
        public static readonly Dictionary<T, string> ToWord =
            Enum.GetValues<T>().ToDictionary(v => v, v => JsonNamingPolicy.KebabCaseLower.ConvertName(v.ToString()));

        public static readonly Dictionary<string, T> FromWord = ToWord.ToDictionary(p => p.Value, p => p.Key, StringComparer.Ordinal);
    }
}
