using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Http;
using BackTracker.Service.Observability;
using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>What an import did, or would do.</summary>
/// <param name="Measurements">Measurements recorded.</param>
/// <param name="Horses">Horses they are of.</param>
/// <param name="AlreadyThere">First lines of measurements that were there before and have been left alone.</param>
internal sealed record ImportResult(int Measurements, int Horses, IReadOnlyList<long> AlreadyThere);

/// <summary>
/// Records the measurements of a file. Rows of one horse and instant make one measurement. One whose horse, instant and method are
/// there already is left alone, so that a file may be imported again after lines were added to it.
/// </summary>
/// <param name="session">The transaction; whoever began it must not commit when there are faults.</param>
/// <param name="caller">Who imports.</param>
/// <param name="faults">Takes what is wrong, by line.</param>
internal sealed class MeasurementImport(WriteSession session, Caller caller, ImportFaults faults)
{
    private readonly Dictionary<string, HashSet<(string MeasuredAt, string Method)>> _known = [];
    private readonly HashSet<string> _horses = [];
    private readonly List<long> _alreadyThere = [];
    private int _recorded;

    /// <summary>Records all rows.</summary>
    public async Task<ImportResult> RunAsync(IReadOnlyList<ImportRow> rows, ImportNames names)
    {
        Measured.Import(rows.Count);
        foreach (var group in await GroupAsync(rows, names))
        {
            var request = Combine(group.Rows);
            if (await IsKnownAsync(group.Horse, request))
                _alreadyThere.Add(group.Rows[0].Line);
            else
                await RecordAsync(group.Horse, request, group.Rows);
        }
        return new ImportResult(_recorded, _horses.Count, _alreadyThere);
    }

    private async Task<List<(HorseRow Horse, List<ImportRow> Rows)>> GroupAsync(IReadOnlyList<ImportRow> rows, ImportNames names)
    {
        var groups = new Dictionary<(string, DateTimeOffset), (HorseRow Horse, List<ImportRow> Rows)>();
        foreach (var row in rows.Where(r => r is { Horse.Length: > 0, Person.Length: > 0, MeasuredAt: not null, Method: not null }))
        {
            if (await names.HorseAsync(row, faults) is not { } horse || await names.PersonAsync(row, horse, faults) is not { } personId)
                continue;
            if (!groups.TryGetValue((horse.Id, row.MeasuredAt!.Value), out var group))
                groups[(horse.Id, row.MeasuredAt.Value)] = group = (horse, []);
            group.Rows.Add(row with { Person = personId });
        }
        return [.. groups.Values];
    }

    private MeasurementRequest Combine(List<ImportRow> rows) => new()
    {
        MeasuredAt = rows[0].MeasuredAt,
        MeasuredBy = One(rows, "measuredBy", r => r.Person),
        Method = One(rows, "method", r => r.Method),
        Exercise = One(rows, "exercise", r => r.Exercise),
        Widths = [.. rows.Where(r => r.Width is not null).Select(r => r.Width!)],
        WeightKg = One(rows, "weightKg", r => r.WeightKg),
        GirthMm = One(rows, "girthMm", r => r.GirthMm),
        ConditionScore1to9 = One(rows, "conditionScore1to9", r => r.ConditionScore1to9),
        Note = One(rows, "note", r => r.Note),
    };

    /// <summary>The one value that rows of a measurement give; they may leave it out but not contradict each other.</summary>
    private T? One<T>(List<ImportRow> rows, string column, Func<ImportRow, T?> value)
    {
        var said = rows.Where(r => value(r) is not null).ToList();
        foreach (var row in said.Where(r => !Equals(value(r), value(said[0]))))
            faults.Add(row.Line, $"{column}: this differs from line {said[0].Line}, which is of the same horse and instant and so of the same measurement.");
        return said.Count == 0 ? default : value(said[0]);
    }

    private async Task<bool> IsKnownAsync(HorseRow horse, MeasurementRequest request)
    {
        if (!_known.TryGetValue(horse.Id, out var known))
            _known[horse.Id] = known = [.. (await MeasurementStore.LiveOfHorseAsync(session, horse.Id)).Select(m => (m.MeasuredAt, m.Method))];
        return known.Contains((Instants.Write(request.MeasuredAt!.Value), Words.Write(request.Method!.Value)));
    }

    private async Task RecordAsync(HorseRow horse, MeasurementRequest request, List<ImportRow> rows)
    {
        try
        {
            Requests.Validate(request);
            if (faults.Any)
                return; // Nothing will be kept; the rest is only looked through for more faults.
            await MeasurementRecorder.RecordAsync(session, caller, horse, request, null);
            _recorded++;
            _horses.Add(horse.Id);
        }
        catch (ProblemException problem) when (problem.Errors.Count == 0)
        {
            faults.Add(rows[0].Line, problem.Message);
        }
        catch (ProblemException problem)
        {
            foreach (var (pointer, texts) in problem.Errors)
                foreach (var text in texts)
                    Place(pointer, text, rows);
        }
    }

    /// <summary>A pointer into the widths is the line that gave the width.</summary>
    private void Place(string pointer, string text, List<ImportRow> rows)
    {
        var parts = pointer.Split('/');
        if (parts is [_, "widths", var index, ..])
            faults.Add(rows.Where(r => r.Width is not null).ElementAt(int.Parse(index, System.Globalization.CultureInfo.InvariantCulture)).Line, Say(parts.Length > 3 ? parts[3] : "", text));
        else
            faults.Add(rows[0].Line, Say(parts[1], text));
    }

    private static string Say(string column, string text) => column.Length == 0 ? text : $"{column}: {text}";
}
