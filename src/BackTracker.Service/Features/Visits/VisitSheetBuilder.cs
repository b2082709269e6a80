using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Checks;
using BackTracker.Storage;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Observations;
using BackTracker.Storage.People;
using BackTracker.Storage.Saddles;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;
using TrendModel = BackTracker.Engine.Trends.TrendModel;

namespace BackTracker.Service.Features.Visits;

/// <summary>Puts a visit sheet together: who is to be looked at on the day, why, what moved and what to bring.</summary>
/// <param name="today">Today in the yard: what is known.</param>
/// <param name="on">Day of the visit.</param>
/// <param name="service">Settings of the service.</param>
internal sealed class VisitSheetBuilder(DateOnly today, DateOnly on, CheckPolicy service)
{
    /// <summary>What is loaded of a horse before anything is worked out.</summary>
    private sealed record Loaded(IReadOnlyList<CheckAnswer> Checks, HorseFacts Facts, CheckPolicy Policy, TrendModel Model, IReadOnlyDictionary<string, SaddleRow> Saddles);

    /// <summary>A horse on the sheet, and what to keep in mind because of it.</summary>
    private sealed record Made(VisitHorse Horse, IReadOnlyList<string> Cautions);

    /// <summary>The sheet of a yard for one fitter, or for whoever comes.</summary>
    public Task<VisitSheet> BuildAsync(ReadSession session, YardRow yard, PersonRow? fitter) =>
        BuildAsync(session, yard, fitter, check => IsDue(check, fitter?.Id));

    /// <summary>The sheet of one visit, with its own checks alone.</summary>
    public Task<VisitSheet> BuildAsync(ReadSession session, YardRow yard, PersonRow fitter, string visitId) =>
        BuildAsync(session, yard, fitter, check => check.VisitId == visitId);

    private async Task<VisitSheet> BuildAsync(ReadSession session, YardRow yard, PersonRow? fitter, Func<CheckAnswer, bool> isOnIt)
    {
        var alive = (await CheckStore.AliveInYardAsync(session, yard.Id)).Select(CheckAnswer.Of).ToList();
        var seen = (await ObservationStore.OpenInYardAsync(session, yard.Id)).ToLookup(row => row.HorseId);
        var remeasures = alive.Where(check => check.Kind == CheckKind.Remeasure && check.OpensOn <= on).ToLookup(check => check.HorseId);
        var loaded = new List<Loaded>();
        foreach (var checks in InOrder(alive.Where(check => IsOfSaddle(check) && isOnIt(check))).GroupBy(check => check.HorseId))
            loaded.Add(await LoadAsync(session, [.. checks]));
        // Laying saddles takes long, and no horse waits for another.
        var made = loaded.AsParallel().AsOrdered().Select(own => Horse(own, remeasures[own.Facts.HorseId].FirstOrDefault(), [.. seen[own.Facts.HorseId]])).ToList();
        List<VisitHorse> horses = [.. made.Select(own => own.Horse)];
        return new VisitSheet(
            new(yard.Id, yard.Name), on, today, fitter is null ? null : new(fitter.Id, fitter.Name), AllToBring(horses), horses,
            [.. Cautions.ForFit.Concat(made.SelectMany(own => own.Cautions)).Distinct()]);
    }

    /// <summary>
    /// Every check whose window is open on the day, and what is booked for it. What is booked for another day or with somebody else is left to
    /// them; a booking whose day went by without a report is to be looked at still.
    /// </summary>
    private bool IsDue(CheckAnswer check, string? fitterId) =>
        check.BookedOn is { } booked
            ? (booked == on || booked < today) && (fitterId is null || check.FitterId == fitterId)
            : check.OpensOn <= on;

    private static bool IsOfSaddle(CheckAnswer check) => check.Kind is CheckKind.Fit or CheckKind.Flocking or CheckKind.Refit && check.PairingId is not null;

    private IOrderedEnumerable<CheckAnswer> InOrder(IEnumerable<CheckAnswer> checks) => checks
        .OrderByDescending(check => check.BookedOn == on)
        .ThenByDescending(check => check.Urgency)
        .ThenBy(check => check.DueOn)
        .ThenBy(check => check.HorseName, StringComparer.Ordinal)
        .ThenBy(check => check.Id, StringComparer.Ordinal);

    private async Task<Loaded> LoadAsync(ReadSession session, IReadOnlyList<CheckAnswer> checks)
    {
        var horse = await HorseFactsLoader.LoadAsync(session, checks[0].HorseId, service);
        var facts = horse.Facts;
        var saddles = new Dictionary<string, SaddleRow>();
        foreach (var saddleId in facts.Pairings.Where(pairing => checks.Any(check => check.PairingId == pairing.Id)).Select(pairing => pairing.SaddleId).Distinct())
            saddles.Add(saddleId, (await SaddleStore.FindAsync(session, Sight.All, saddleId))!);
        return new Loaded(checks, facts, horse.Policy, horse.Model, saddles);
    }

    private Made Horse(Loaded loaded, CheckAnswer? remeasure, IReadOnlyList<ObservationRow> seen)
    {
        var facts = loaded.Facts;
        var trends = new HorseTrends(facts.AsOf(today), loaded.Model);
        var vetFirst = Signs.OpenVetFirst(trends.Facts, loaded.Policy);
        var (saddles, cautions) = (new List<VisitSaddle>(), new List<string>(vetFirst.Count > 0 ? Cautions.VetFirst : []));
        foreach (var own in loaded.Checks.GroupBy(check => check.PairingId))
        {
            // What is to begin later can be laid on the horse as it is known today.
            var pairing = trends.Facts.Pairings.FirstOrDefault(p => p.Id == own.Key) ?? facts.Pairings.First(p => p.Id == own.Key);
            var policy = loaded.Policy.With(pairing.OwnPolicy);
            var fit = new PairingFit(pairing, trends, policy, today, (on, on));
            cautions.AddRange([.. fit.IsLaid ? Cautions.ForLaidTree : [], .. fit.IsModelled ? [Cautions.Modelled] : Array.Empty<string>()]);
            saddles.Add(Saddle(trends, fit, pairing, policy, loaded.Saddles[pairing.SaddleId], [.. own], remeasure, vetFirst));
        }
        var signs = seen.ToLookup(row => vetFirst.Any(sign => sign.Id == row.Id), VisitWords.Seen);
        return new Made(new VisitHorse(new(facts.HorseId, facts.HorseName), [.. signs[true]], [.. signs[false]], LastMeasuredOn(trends), saddles), cautions);
    }

    private VisitSaddle Saddle(
        HorseTrends trends, PairingFit fit, PairingFact pairing, CheckPolicy policy, SaddleRow saddle, IReadOnlyList<CheckAnswer> checks, CheckAnswer? remeasure, IReadOnlyList<ObservationFact> vetFirst)
    {
        var findings = fit.On(on);
        var lookedOn = LookedOn(trends.Facts, pairing);
        var since = lookedOn ?? pairing.From;
        return new VisitSaddle(
            pairing.Id, new(saddle.Id, saddle.Label), VisitWords.Saddle(saddle), pairing.TreeFrontFromT8Mm, VisitWords.Front(pairing.TreeFrontFromT8Mm),
            [.. checks.Select(Check)], since, VisitWords.Since(lookedOn, pairing.From), [.. BackMovement.Since(trends, since, on).Select(Move)],
            [.. findings.Where(f => f.Severity is Severity.Out or Severity.Watch).OrderByDescending(f => f.Severity).Select(f => new VisitFinding(f.Key.ToString(), f.Severity, f.Statement, f.Text))],
            [.. Bringing.For(findings, vetFirst, policy).Select(item => new VisitNeed(item.What, item.Because)), .. MeasuringGear(checks, remeasure, fit.Missing)],
            fit.Missing);
    }

    /// <summary>Day a fitter last looked at a saddle on this horse; null where none has since it came to it.</summary>
    private DateOnly? LookedOn(HorseFacts facts, PairingFact pairing) => facts.Checks
        .Where(check => check.PairingId == pairing.Id && check.State == CheckState.Done && check.DoneOn >= pairing.From && check.DoneOn <= today)
        .Where(check => check.Kind is CheckKind.Fit or CheckKind.Flocking or CheckKind.Refit)
        .Max(check => check.DoneOn);

    private static IEnumerable<VisitNeed> MeasuringGear(IReadOnlyList<CheckAnswer> checks, CheckAnswer? remeasure, IReadOnlyList<string> missing)
    {
        // A visit that covers a re-measure has its reasons among its own.
        var covered = checks.SelectMany(check => check.Reasons).Where(reason => reason.Cause is Cause.MeasurementAge or Cause.ForecastWide or Cause.DatedEvent or Cause.BodyChange or Cause.CommissionRisk or Cause.CommissionAge);
        string[] because = [.. (remeasure?.Reasons ?? []).Concat(covered).Select(reason => reason.Text).Concat(missing).Distinct()];
        return because.Length > 0 ? [new VisitNeed("Measuring gear", because)] : [];
    }

    private static VisitCheck Check(CheckAnswer check) => new(
        check.Id, check.Kind, check.State, check.Urgency, check.DueOn, check.BookedOn, VisitWords.Check(check), [.. check.Reasons.Select(reason => reason.Text)]);

    private static VisitMove Move(MovedMetric moved) => new(
        moved.Metric.ToString(), moved.Metric.Station?.ToString(), VisitWords.SideOf(moved.Metric), moved.From, moved.Change, moved.PlusMinus,
        moved.Metric.Unit, moved.LeastRealChange, moved.IsReal, VisitWords.Moved(moved));

    private static DateOnly? LastMeasuredOn(HorseTrends trends) =>
        SeriesBuilder.Trended(trends.Facts).Where(session => session.Readings.Any(reading => reading.Metric.Station is not null)).Max(session => (DateOnly?)session.On);

    private static IReadOnlyList<VisitBring> AllToBring(IReadOnlyList<VisitHorse> horses) =>
    [
        .. horses.SelectMany(horse => horse.Saddles.SelectMany(saddle => saddle.Bring).Select(need => (need.What, horse.Horse.Name)))
            .GroupBy(need => need.What, (what, needs) => new VisitBring(what, [.. needs.Select(need => need.Name).Distinct()])),
    ];
}
