using BackTracker.Service.Http;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.People;

/// <summary>People to choose from on a form.</summary>
internal static class PersonChoices
{
    public static (string Value, string Text) Of(PersonRow person) => (person.Id, $"{person.Name}, {person.Role.Replace('-', ' ')}");

    /// <summary>Everybody of a yard who can still be named.</summary>
    public static async Task<IReadOnlyList<PersonRow>> OfYardAsync(ReadSession session, Caller caller, string yardId) =>
        [.. (await Paging.AllAsync(page => PersonStore.ListAsync(session, caller.Sight, yardId, null, page))).Where(person => person.ErasedAt is null)];

    /// <summary>Everybody of every yard in sight, to choose or to leave out.</summary>
    public static async Task<IReadOnlyList<(string Value, string Text)>> EverybodyAsync(ReadSession session, Caller caller) =>
    [
        ("", "Nobody in particular"),
        .. (await Paging.AllAsync(page => PersonStore.ListAsync(session, caller.Sight, null, null, page))).Where(person => person.ErasedAt is null).Select(Of),
    ];

    /// <summary>Who looks at saddles, fitters first.</summary>
    public static IReadOnlyList<(string Value, string Text)> Fitters(IReadOnlyList<PersonRow> people) =>
        [.. FittersFirst(people).Where(person => person.Role is "fitter" or "saddler").Select(Of)];

    /// <summary>Who can have done something. A key that belongs to a person records for that person alone.</summary>
    public static IReadOnlyList<(string Value, string Text)> Doers(Caller caller, IReadOnlyList<PersonRow> people) =>
        [.. FittersFirst(people).Where(person => caller.PersonId is null || caller.PersonId == person.Id).Select(Of)];

    /// <summary>The name of a person; null where nobody is named.</summary>
    public static async Task<string?> NameAsync(ReadSession session, Caller caller, string? personId) =>
        personId is null ? null : (await PersonStore.FindAsync(session, caller.Sight, personId))?.Name ?? "a person of another yard";

    private static IEnumerable<PersonRow> FittersFirst(IReadOnlyList<PersonRow> people) =>
        people.OrderByDescending(person => person.Role == "fitter").ThenByDescending(person => person.Role == "saddler").ThenBy(person => person.Name, StringComparer.Ordinal);
}
