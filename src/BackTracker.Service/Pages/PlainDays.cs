using System.Text.RegularExpressions;
using BackTracker.Storage;

namespace BackTracker.Service.Pages;

/// <summary>Days in a text written for programs, as people write them: 2026-12-02 becomes 2 December 2026.</summary>
internal static partial class PlainDays
{
    public static string In(string text) =>
        Written().Replace(text, day => Instants.IsDay(day.Value) ? Engine.Words.Day(Instants.ReadDay(day.Value)) : day.Value);

    // "Write a day as 2026-03-14" says how to write one, and stays.
    [GeneratedRegex(@"(?<! as )\b\d{4}-\d{2}-\d{2}\b")]
    private static partial Regex Written();
}
