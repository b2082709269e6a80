using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.RegularExpressions;
using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.People;

/// <summary>The columns in which people write about people, and how a name in them is replaced.</summary>
internal static class FreeTexts
{
    private const string OfHorse = "(select h.yard_id from horses h where h.id = t.horse_id)";
    private const string OfSaddle = "(select s.yard_id from saddles s where s.id = t.saddle_id)";
    private const string OfCheck = "(select h.yard_id from checks c join horses h on h.id = c.horse_id where c.id = t.check_id)";
    // Faults of files name whom the file named, whatever yard it was for.
    private const string OfAnyYard = "";
    private const string OfCommission = "(select h.yard_id from commissions k join horses h on h.id = k.horse_id where k.id = t.commission_id)";
    private const string OfAlert = "(select a.yard_id from alerts a where a.id = t.alert_id)";

    private static readonly Place[] Places =
    [
        new("horses", "notes", "t.yard_id"),
        new("phases", "void_reason", OfHorse), new("events", "note", OfHorse), new("events", "void_reason", OfHorse),
        new("rides", "void_reason", OfHorse),
        new("measurements", "body", OfHorse), new("measurements", "void_reason", OfHorse),
        new("observations", "note", OfHorse), new("observations", "outcome_note", OfHorse), new("observations", "void_reason", OfHorse),
        new("tree_shapes", "body", OfSaddle), new("tree_shapes", "void_reason", OfSaddle),
        new("adjustments", "note", OfSaddle), new("adjustments", "void_reason", OfSaddle),
        new("checks", "findings", OfHorse), new("checks", "closing_note", OfHorse),
        new("visits", "note", "t.yard_id"), new("visits", "closing_note", "t.yard_id"),
        new("commissions", "note", OfHorse),
        new("commission_steps", "note", OfCommission) { Version = "" }, new("commission_steps", "override_reason", OfCommission) { Version = "" },
        new("commission_trials", "items", OfCommission) { Version = "" }, new("commission_trials", "bears_load_text", OfCommission) { Version = "" },
        new("commission_clearances", "note", OfCommission) { Version = "" },
        new("alerts", "acknowledged_note", "t.yard_id"), new("alerts", "text", "t.yard_id"),
        new("quiet_periods", "reason", "t.yard_id"),
        new("check_history", "note", OfCheck) { Version = "" }, new("alert_steps", "note", OfAlert) { Version = "" },
        new("messages", "body", "t.yard_id") { Version = "" }, new("audit", "changes", "t.yard_id") { Version = "" },
        new("imports", "body", OfAnyYard) { Version = "" },
    ];

    /// <summary>Replaces a text wherever it stands as a word of its own in what was written in some yards; returns how many entries that were.</summary>
    public static async Task<int> ReplaceAsync(WriteSession session, IReadOnlyList<string> yards, string text, string instead)
    {
        var changed = 0;
        foreach (var place in Places)
            changed += await ReplaceAsync(session, place, yards, text, instead);
        return changed;
    }

    private static async Task<int> ReplaceAsync(WriteSession session, Place place, IReadOnlyList<string> yards, string text, string instead)
    {
        var word = Word(text);
        var found = await session.ListAsync<Found>(
            $"""
            select t.id, t.{place.Column} as text from {place.Table} t
            where lower(t.{place.Column}) like @pattern and {(place.YardSql == OfAnyYard ? "1 = 1" : session.Among(place.YardSql, "yards"))}
            """, new { pattern = $"%{Stem(text)}%", yards });
        var hits = found.Where(row => word.IsMatch(row.Text)).ToList();
        foreach (var row in hits)
            await session.ExecuteAsync(
                $"update {place.Table} set {place.Column} = @text{place.Version} where id = @Id",
                new { row.Id, text = word.Replace(row.Text, Escaped(instead)) });
        return hits.Count;
    }

    // The database only narrows the search, by ASCII letters, which it folds as everybody does; the expression decides.
    private static string Stem(string text) =>
        Regex.Matches(text.ToLowerInvariant(), "[a-z0-9]+").MaxBy(part => part.Length)?.Value ?? "";

    private static Regex Word(string text) => new(
        $@"(?<![\p{{L}}\p{{N}}])(?:{Regex.Escape(text)}|{Regex.Escape(Escaped(text))})(?![\p{{L}}\p{{N}}])",
        RegexOptions.IgnoreCase | RegexOptions.CultureInvariant);

    private static string Escaped(string text) => JsonEncodedText.Encode(text, JavaScriptEncoder.UnsafeRelaxedJsonEscaping).ToString();

    private sealed record Place(string Table, string Column, string YardSql)
    {
        public string Version { get; init; } = ", version = version + 1";
    }

    private sealed record Found
    {
        public string Id { get; init; } = "";

        public string Text { get; init; } = "";
    }
}
