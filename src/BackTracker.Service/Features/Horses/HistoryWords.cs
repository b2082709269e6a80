using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;

namespace BackTracker.Service.Features.Horses;

/// <summary>A line of a history.</summary>
/// <param name="On">Its day.</param>
/// <param name="Text">What happened.</param>
/// <param name="Address">Where there is more of it; null where there is not.</param>
/// <param name="Notes">What else is to be said, voids and corrections among it.</param>
/// <param name="Counts">Whether it still counts.</param>
public sealed record HistoryLine(DateOnly On, string Text, string? Address, IReadOnlyList<string> Notes, bool Counts)
{
    /// <summary>Where it is taken back; null where it is not done from the history.</summary>
    public string? TakeBack { get; init; }
}

/// <summary>The history of a horse in words.</summary>
internal static class HistoryWords
{
    private const char Between = '_';

    /// <summary>A record as a line; its yard's clock says on which day it was voided.</summary>
    public static HistoryLine Line(HistoryRow row, string timeZone) => new(
        Instants.ReadDay(row.OnDay), Text(row), Address(row),
        [.. new[] { Note(row), Corrected(row), Voided(row, timeZone) }.OfType<string>()], row.VoidedAt is null && row.ReplacedBy is null)
    {
        TakeBack = row is { Kind: "event" or "phase", VoidedAt: null } ? $"/{row.Kind}s/{row.Id}/void" : null,
    };

    /// <summary>The place after a record, as it stands in an address.</summary>
    public static string Write(HistoryRow row) => $"{row.OnDay}{Between}{row.Id}";

    /// <summary>The place that an address names.</summary>
    /// <exception cref="ProblemException">It names none.</exception>
    public static HistoryPlace PlaceOf(string before) => before.Split(Between) is [var day, var id] && QueryDay.TryParse(day, null, out _)
        ? new(day, id)
        : throw new ProblemException(ProblemKind.BadQuery, "before comes from the link to older records; do not make one up.");

    private static string Text(HistoryRow row) => row.Kind switch
    {
        "measurement" => $"Measured, {Plain(row.What)}{(row.More is "unknown" ? "" : $", {row.More} work")}",
        "observation" => $"Seen: {Plain(row.What)}{(row.More is null ? "" : $", {row.More}")}",
        "outcome" => $"{Engine.Words.Sentence(Plain(row.About!))}: {row.What} by the {Plain(row.More!)}",
        "check" => $"{Engine.Words.Sentence(BoardWords.Name(Words.Read<CheckKind>(row.What)))} done{(row.About is null ? "" : $", {row.About}")}",
        "adjustment" => $"{Engine.Words.Sentence(Changed(row.What))}, {row.About}{(row.More is null ? "" : Zones(row.More))}",
        "event" => $"{Engine.Words.Sentence(Plain(row.What))}{(row.More is null ? "" : ", planned")}",
        "phase" => $"{Engine.Words.Sentence(Plain(row.What))} begins",
        _ => Move(row),
    };

    private static string? Address(HistoryRow row) => row.Kind switch
    {
        "measurement" => $"/measurements/{row.Id}",
        "observation" => $"/observations/{row.Id}",
        "outcome" => $"/observations/{row.Id[..^"-outcome".Length]}",
        "check" => $"/checks/{row.Id}",
        _ => null,
    };

    private static string? Note(HistoryRow row) => row.Kind == "check"
        ? row.More is { } findings && Json.Read<FindingNote[]>(findings) is { Length: > 0 } found ? string.Join(" ", found.Select(f => f.Text)) : row.Note
        : row.Note;

    private static string? Corrected(HistoryRow row) => row switch
    {
        { ReplacedBy: not null } => "Does not count any more: a later record corrects it.",
        { Corrects: not null } => "Corrects an earlier record.",
        _ => null,
    };

    private static string? Voided(HistoryRow row, string timeZone) => row.VoidedAt is { } at
        ? $"Voided on {Engine.Words.Day(YardTime.Day(timeZone, Instants.Read(at)))}, does not count{(row.VoidReason is null ? "" : $": {row.VoidReason}")}"
        : null;

    private static string Move(HistoryRow row) => row.What switch
    {
        "moved" => $"Moved to {row.More ?? "another yard"}",
        "active" => "Came back",
        _ => Engine.Words.Sentence(row.What),
    };

    private static string Changed(string kind) => kind switch
    {
        "flocking" => "flocking changed",
        "tree" => "tree altered",
        "shim" => "shims changed",
        "pad" => "pad changed",
        "balance" => "balanced",
        _ => "repaired",
    };

    private static string Zones(string zones) => ZoneWords.List(Json.Read<ZoneRequest[]>(zones)) is { Length: > 0 } all ? $": {all}" : "";

    /// <summary>"white-hairs" as people write it.</summary>
    public static string Plain(string word) => word == "lay-off" ? word : word.Replace('-', ' ');
}
