using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>Finds horses and people by what a file calls them; looks each up once.</summary>
/// <param name="session">Session to read with.</param>
/// <param name="sight">What the caller sees.</param>
/// <param name="yardId">The yard in which horses go by name; null where they do not.</param>
internal sealed class ImportNames(ReadSession session, Sight sight, string? yardId)
{
    private readonly Dictionary<string, HorseRow?> _horses = [];
    private readonly Dictionary<string, IReadOnlyList<PersonRow>> _people = [];
    private ILookup<string, HorseRow>? _byName;

    /// <summary>A horse by id, microchip or name; null, with the fault named, where there is not exactly one.</summary>
    public async Task<HorseRow?> HorseAsync(ImportRow row, ImportFaults faults)
    {
        if (!_horses.TryGetValue(row.Horse, out var horse))
            _horses[row.Horse] = horse = await FindAsync(row, faults);
        else if (horse is null)
            faults.Add(row.Line, $"horse: `{row.Horse}` is not known, as said above.");
        return horse;
    }

    /// <summary>Id of a person by id, or by name within the horse's yard.</summary>
    public async Task<string?> PersonAsync(ImportRow row, HorseRow horse, ImportFaults faults)
    {
        if (!_people.TryGetValue(horse.YardId, out var people))
            _people[horse.YardId] = people = await AllAsync(page => PersonStore.ListAsync(session, sight, horse.YardId, null, page));
        var id = Ids.Canonical(row.Person);
        if (people.FirstOrDefault(p => p.Id == id) is { } byId)
            return byId.Id;
        if (id is not null && await PersonStore.FindAsync(session, sight, id) is { } ofAnotherYard)
            return ofAnotherYard.Id;
        var named = people.Where(p => Same(p.Name, row.Person)).ToList();
        if (named is [var one])
            return one.Id;
        faults.Add(row.Line, named.Count == 0
            ? $"measuredBy: there is nobody called `{row.Person}` in the yard of {horse.Name}, and it is no id of a person."
            : $"measuredBy: {named.Count} people of the yard are called `{row.Person}`. Give the id.");
        return null;
    }

    private async Task<HorseRow?> FindAsync(ImportRow row, ImportFaults faults)
    {
        if (Ids.Canonical(row.Horse) is { } id && await HorseStore.FindAsync(session, sight, id) is { } byId)
            return byId;
        if (await HorseStore.FindByMicrochipAsync(session, sight, row.Horse) is { } byChip)
            return byChip;
        if (yardId is null)
        {
            faults.Add(row.Line, $"horse: `{row.Horse}` is no id or microchip of a horse. To use names, say in which yard.");
            return null;
        }
        _byName ??= (await AllAsync(page => HorseStore.ListAsync(session, sight, yardId, null, page))).ToLookup(h => h.Name, StringComparer.OrdinalIgnoreCase);
        var named = _byName[row.Horse].ToList();
        if (named is [var one])
            return one;
        faults.Add(row.Line, named.Count == 0
            ? $"horse: there is no horse `{row.Horse}` in the yard, by name, id or microchip."
            : $"horse: {named.Count} horses of the yard are called `{row.Horse}`. Give the id or the microchip.");
        return null;
    }

    private static bool Same(string a, string b) => string.Equals(a, b, StringComparison.OrdinalIgnoreCase);

    private static async Task<IReadOnlyList<T>> AllAsync<T>(Func<Page, Task<Paged<T>>> listAsync)
    {
        var all = new List<T>();
        for (var after = ""; after is not null;)
        {
            var page = await listAsync(new Page(after, 500));
            all.AddRange(page.Items);
            after = page.NextAfter;
        }
        return all;
    }
}
