using BackTracker.Service.Http;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Yards;

/// <summary>Yards to choose from on a form.</summary>
internal static class YardChoices
{
    public static async Task<IReadOnlyList<(string Value, string Text)>> AllAsync(ReadSession session, Caller caller) =>
        [.. (await Paging.AllAsync(page => YardStore.ListAsync(session, caller.Sight, page))).Select(yard => (yard.Id, yard.Name))];

    /// <summary>Some yards by name; no yard stands for every one.</summary>
    public static string Words(IReadOnlyList<string> yardIds, IReadOnlyDictionary<string, string> names) =>
        yardIds.Count == 0 ? "every yard" : string.Join(", ", yardIds.Select(id => names.GetValueOrDefault(id, "another yard")));
}
