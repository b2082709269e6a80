using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>Finds horses and people by what a file calls them; looks each up once.</summary>
/// <param name="session">Session to read with.</param>
/// <param name="caller">Who imports.</param>
/// <param name="yardId">The yard in which horses go by name; null where they do not.</param>
/// <param name="faults">Takes what is wrong.</param>
internal sealed class ImportNames(ReadSession session, Caller caller, string? yardId, ImportFaults faults)
{
    private const int MostRemembered = 10_000;
    private const int Nobody = -1;
    private readonly Dictionary<string, int> _places = [];
    private readonly Dictionary<string, int> _placeOfId = [];
    private readonly List<HorseRow> _horses = [];
    private readonly Dictionary<(string YardId, string Name), string?> _people = [];
    private readonly Dictionary<string, IReadOnlyList<PersonRow>> _peopleOfYard = [];
    private ILookup<string, HorseRow>? _byName;

    /// <summary>The horses found so far, each by its place.</summary>
    public IReadOnlyList<HorseRow> Horses => _horses;

    /// <summary>Place of a horse by id, microchip or name; false, with the fault named, where there is not exactly one.</summary>
    public async ValueTask<int?> HorseAsync(BookRow row)
    {
        if (!_places.TryGetValue(row.Horse, out var place))
        {
            place = await FindAsync(row) is { } horse ? PlaceOf(horse) : Nobody;
            if (place != Nobody || _places.Count < MostRemembered)
                _places[row.Horse] = place;
            return place == Nobody ? null : place;
        }
        if (place == Nobody)
            faults.Add(row.Line, "horse", $"{ImportFaults.Quote(row.Horse)} is not known, as said above.");
        return place == Nobody ? null : place;
    }

    /// <summary>Id of the person who measured, by id, or by name within the horse's yard; null, with the fault named, where there is not exactly one.</summary>
    public async ValueTask<string?> PersonAsync(BookRow row, HorseRow horse)
    {
        if (_people.TryGetValue((horse.YardId, row.Person), out var known) && known is not null)
            return known;
        var found = await FindPersonAsync(row, horse);
        if (found is not null && caller.PersonId is not null && found != caller.PersonId)
        {
            faults.Add(row.Line, "measuredBy", "This key belongs to one person and cannot record for another. Leave measuredBy out.");
            return null;
        }
        if (_people.Count < MostRemembered)
            _people[(horse.YardId, row.Person)] = found;
        return found;
    }

    private int PlaceOf(HorseRow horse)
    {
        if (_placeOfId.TryGetValue(horse.Id, out var place))
            return place;
        _horses.Add(horse);
        return _placeOfId[horse.Id] = _horses.Count - 1;
    }

    private async Task<string?> FindPersonAsync(BookRow row, HorseRow horse)
    {
        if (row.Person.Length == 0)
            return caller.PersonId;
        if (!_peopleOfYard.TryGetValue(horse.YardId, out var people))
            _peopleOfYard[horse.YardId] = people = await Paging.AllAsync(page => PersonStore.ListAsync(session, caller.Sight, horse.YardId, null, page));
        var id = Ids.Canonical(row.Person);
        if (people.FirstOrDefault(p => p.Id == id) is { } byId)
            return byId.Id;
        if (id is not null && await PersonStore.FindAsync(session, caller.Sight, id) is { } ofAnotherYard)
            return ofAnotherYard.Id;
        var named = people.Where(p => string.Equals(p.Name, row.Person, StringComparison.OrdinalIgnoreCase)).ToList();
        if (named is [var one])
            return one.Id;
        faults.Add(row.Line, "measuredBy", named.Count == 0
            ? $"there is nobody called {ImportFaults.Quote(row.Person)} in the yard of {horse.Name}, and it is no id of a person."
            : $"{named.Count} people of the yard are called {ImportFaults.Quote(row.Person)}. Give the id.");
        return null;
    }

    private async Task<HorseRow?> FindAsync(BookRow row)
    {
        if (Ids.Canonical(row.Horse) is { } id && await HorseStore.FindAsync(session, caller.Sight, id) is { } byId)
            return byId;
        if (await HorseStore.FindByMicrochipAsync(session, caller.Sight, row.Horse) is { } byChip)
            return byChip;
        if (yardId is null)
        {
            faults.Add(row.Line, "horse", $"{ImportFaults.Quote(row.Horse)} is no id or microchip of a horse. To use names, say in which yard.");
            return null;
        }
        _byName ??= (await Paging.AllAsync(page => HorseStore.ListAsync(session, caller.Sight, yardId, null, page))).ToLookup(h => h.Name, StringComparer.OrdinalIgnoreCase);
        var named = _byName[row.Horse].ToList();
        if (named is [var one])
            return one;
        faults.Add(row.Line, "horse", named.Count == 0
            ? $"there is no horse {ImportFaults.Quote(row.Horse)} in the yard, by name, id or microchip."
            : $"{named.Count} horses of the yard are called {ImportFaults.Quote(row.Horse)}. Give the id or the microchip.");
        return null;
    }
}
