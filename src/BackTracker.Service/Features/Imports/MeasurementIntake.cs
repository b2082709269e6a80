using BackTracker.Engine.Repeatability;
using BackTracker.Engine.Trends;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.Priors;
using BackTracker.Service.Features.Repeatability;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Imports;

/// <summary>
/// Looks at measurements as if they were recorded one by one in order of their instant: the same rules, the same advice from what is known
/// before each. One whose horse, instant and method are there already is left alone, so that a file may be imported again after lines were
/// added to it.
/// </summary>
/// <param name="session">Reads what is known, as of one moment.</param>
/// <param name="caller">Who imports.</param>
/// <param name="now">The time of the import.</param>
/// <param name="faults">Takes what is wrong.</param>
internal sealed class MeasurementIntake(ReadSession session, Caller caller, DateTimeOffset now, ImportFaults faults)
{
    private readonly Dictionary<string, HorseState> _states = [];
    private readonly Dictionary<(string YardId, DateOnly Today), (TrendModel Model, ScatterTable Table)> _learned = [];
    private KnownBook? _book;

    /// <summary>The horses to write to, as they were when they were looked at.</summary>
    public IReadOnlyDictionary<string, HorseState> States => _states;

    /// <summary>Where the horses of the measurements that are ready stand.</summary>
    public Dictionary<string, string> Yards { get; } = [];

    /// <summary>How many events tell of the measurements that are ready, by horse.</summary>
    public Dictionary<string, int> Events { get; } = [];

    /// <summary>How many of them are better taken again.</summary>
    public int RepeatAdvised { get; private set; }

    /// <summary>How many were there already.</summary>
    public int AlreadyThere { get; private set; }

    /// <summary>First lines of the first hundred that were there already.</summary>
    public List<long> AlreadyThereLines { get; } = [];

    /// <summary>Whether one can be as it stands, whatever is known of the horse.</summary>
    public bool IsPossible(MeasurementCandidate candidate) => Guard(candidate, () => candidate.Check(RowOf));

    /// <summary>Takes one that is possible; those of a horse come one after the other, in order of their instant.</summary>
    public async ValueTask TakeAsync(MeasurementCandidate candidate, PreparedMeasurements prepared)
    {
        if (_book?.Horse.Id != candidate.Horse.Id)
            _book = await OpenAsync(candidate.Horse);
        Guard(candidate, () => Take(_book, candidate, prepared));
    }

    private bool Guard(MeasurementCandidate candidate, Action work)
    {
        try
        {
            work();
            return true;
        }
        catch (ProblemException problem) when (problem.Errors.Count == 0)
        {
            faults.Add(candidate.Line, "", problem.Message);
        }
        catch (ProblemException problem)
        {
            foreach (var (pointer, texts) in problem.Errors)
                foreach (var text in texts)
                    candidate.Place(faults, pointer, text);
        }
        return false;
    }

    private void Take(KnownBook book, MeasurementCandidate candidate, PreparedMeasurements prepared)
    {
        var row = candidate.Row;
        if (candidate.Given is not { HasId: true } && book.Holds(row))
        {
            AlreadyThere++;
            if (AlreadyThereLines.Count < ImportFaults.MostListed)
                AlreadyThereLines.Add(candidate.Line);
        }
        else if (!faults.Any) // Else nothing will be kept; the rest is only looked through for more faults.
            Prepare(book, candidate, row, prepared);
    }

    private MeasurementRow RowOf(MeasurementCandidate candidate, string body)
    {
        var row = MeasurementRecorder.RowOf(candidate.Horse, candidate.Request, body, caller.PersonId ?? candidate.Request.MeasuredBy, Ids.New(now), now);
        return candidate.Given is not { } given ? row : row with
        {
            Id = (string)given["id"]!,
            MeasuredOn = given["measured_on"] as string ?? row.MeasuredOn,
            VoidedAt = given["voided_at"] as string,
            VoidReason = given["void_reason"] as string,
            Version = (long)given["version"]!,
            CreatedAt = (string)given["created_at"]!,
        };
    }

    // What was told where it was recorded, and advised, is neither told nor advised again.
    private void Prepare(KnownBook book, MeasurementCandidate candidate, MeasurementRow row, PreparedMeasurements prepared)
    {
        Yards[row.HorseId] = book.Horse.YardId;
        if (candidate.Given is { Line.IsKept: true } given)
        {
            prepared.Add(new PreparedMeasurement(row with { Advice = given["advice"] as string ?? "[]" }, [], []));
            return;
        }
        var advice = book.Advise(candidate, row);
        var again = advice.Count == 0 ? [] : advice.Where(a => a.AsksForRepeat).Select(a => a.Code).Distinct().ToList();
        RepeatAdvised += again.Count > 0 ? 1 : 0;
        string[] eventIds = again.Count > 0 ? [Ids.New(now), Ids.New(now)] : [Ids.New(now)];
        Events[row.HorseId] = Events.GetValueOrDefault(row.HorseId) + eventIds.Length;
        prepared.Add(new PreparedMeasurement(row with { Advice = advice.Count == 0 ? "[]" : Json.Write(advice) }, again, eventIds));
    }

    private async Task<KnownBook> OpenAsync(HorseRow horse)
    {
        // One that comes with the file has no state yet.
        if ((await HorseStates.OfAsync(session, [horse.Id])).TryGetValue(horse.Id, out var state))
            _states[horse.Id] = state;
        var before = state is null or { Measurements: 0 } ? [] : await MeasurementStore.LiveOfHorseAsync(session, horse.Id);
        var (model, table) = await LearnedAsync(horse.YardId, HorseDays.Today(horse, now));
        var errors = table.ErrorsFor(before.Select(MeasurementFacts.ToSession)).StartingFrom(model.Learned);
        return new KnownBook(horse, before, await MeasurementRecorder.KnownTrendsAsync(session, horse, model, errors));
    }

    // As it was known before the file: what it says itself of who measures how well counts from then on.
    private async Task<(TrendModel Model, ScatterTable Table)> LearnedAsync(string yardId, DateOnly today) => _learned.TryGetValue((yardId, today), out var known)
        ? known
        : _learned[(yardId, today)] = (await PriorsInUse.ModelAsync(session, today), await RepeatErrors.TableAsync(session, yardId, today));

    /// <summary>What is known of a horse while its measurements are gone through.</summary>
    private sealed class KnownBook(HorseRow horse, IReadOnlyList<MeasurementRow> before, RunningTrends trends)
    {
        private readonly HashSet<(string MeasuredAt, string Method)> _held = [.. before.Select(m => (m.MeasuredAt, m.Method))];
        private int _passed;

        public HorseRow Horse => horse;

        public bool Holds(MeasurementRow row) => _held.Contains((row.MeasuredAt, row.Method));

        public IReadOnlyList<Advice> Advise(MeasurementCandidate candidate, MeasurementRow row)
        {
            for (; _passed < before.Count && string.CompareOrdinal(before[_passed].MeasuredOn, row.MeasuredOn) <= 0; _passed++)
                trends.Add(MeasurementFacts.ToSession(before[_passed]));
            var session = MeasurementFacts.ToSession(row, candidate.Readings);
            var advice = MeasurementAdvice.Of(candidate.Request, session, trends);
            trends.Add(session);
            return advice;
        }
    }
}
