using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;
using BackTracker.Storage.Assessments;
using BackTracker.Storage.Boards;
using BackTracker.Storage.Checks;
using BackTracker.Storage.Observations;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Boards;

/// <summary>Puts the board together from the latest assessments, the checks that are alive and the open observations.</summary>
/// <param name="today">Today in the yard.</param>
/// <param name="policy">Settings.</param>
internal sealed class BoardBuilder(DateOnly today, CheckPolicy policy)
{
    public required IReadOnlyDictionary<string, AssessmentRow> Assessments { get; init; }

    public required ILookup<string, CheckRow> Checks { get; init; }

    public required ILookup<string, ObservationRow> Observations { get; init; }

    /// <summary>The board of a yard as it is now.</summary>
    public static async Task<BoardAnswer> LoadAsync(ReadSession session, YardRow yard, TimeProvider clock, CheckPolicy policy)
    {
        var board = new BoardBuilder(YardTime.Day(yard.TimeZone, clock.GetUtcNow()), policy)
        {
            Assessments = (await AssessmentStore.LatestInYardAsync(session, yard.Id)).ToDictionary(a => a.HorseId),
            Checks = (await CheckStore.AliveInYardAsync(session, yard.Id)).ToLookup(c => c.HorseId),
            Observations = (await ObservationStore.OpenInYardAsync(session, yard.Id)).ToLookup(o => o.HorseId),
        };
        return board.Build(yard, await BoardStore.HorsesAsync(session, yard.Id), await AlertStore.OpenInYardAsync(session, yard.Id));
    }

    /// <summary>The line of one horse, looked after or not, from what was loaded of it.</summary>
    public static BoardHorseAnswer LineOf(LoadedHorse loaded, DateOnly today)
    {
        var (id, sessions) = (loaded.Facts.HorseId, loaded.Facts.Sessions);
        var board = new BoardBuilder(today, loaded.Policy)
        {
            Assessments = loaded.Last is { } last ? new Dictionary<string, AssessmentRow> { [id] = last } : [],
            Checks = loaded.Checks.Where(c => Words.Read<CheckState>(c.State) is CheckState.Open or CheckState.Booked).ToLookup(c => c.HorseId),
            Observations = loaded.Observations.Where(ObservationFacts.IsOpen).ToLookup(o => o.HorseId),
        };
        var lastMeasured = sessions.Count == 0 ? null : Instants.WriteDay(sessions.Max(s => s.On));
        return board.Line(new BoardHorseRow { Id = id, Name = loaded.Facts.HorseName, LastMeasuredOn = lastMeasured });
    }

    private BoardAnswer Build(YardRow yard, IReadOnlyList<BoardHorseRow> horses, IReadOnlyList<AlertRow> alerts)
    {
        var lines = horses.Select(Line)
            .OrderByDescending(line => line.OpenObservations.Any(o => o.VetFirst))
            .ThenByDescending(line => line.Checks.Any(check => check.Urgency == Urgency.Now))
            .ThenBy(line => line.Checks.Select(check => check.BookBy).Append(DateOnly.MaxValue).Min())
            .ThenBy(line => line.Horse.Name, StringComparer.Ordinal)
            .ToList();
        return new BoardAnswer(new(yard.Id, yard.Name), today, lines, InOrder(alerts), [.. lines.Exists(WaitsForVet) ? Cautions.VetFirst : [], .. Cautions.ForFit]);
    }

    private static IReadOnlyList<BoardAlertAnswer> InOrder(IReadOnlyList<AlertRow> alerts) =>
    [
        .. alerts
            .OrderByDescending(alert => alert.Cause == Words.Write(Cause.VetFirst))
            .ThenByDescending(alert => Words.Read<Urgency>(alert.Urgency))
            .ThenBy(alert => alert.DueOn, StringComparer.Ordinal)
            .ThenBy(alert => alert.Id, StringComparer.Ordinal)
            .Select(BoardAlertAnswer.Of),
    ];

    private static bool WaitsForVet(BoardHorseAnswer line) => line.OpenObservations.Any(o => o.VetFirst) || line.Checks.Any(check => check.Kind == CheckKind.Vet);

    private BoardHorseAnswer Line(BoardHorseRow horse)
    {
        var row = Assessments.GetValueOrDefault(horse.Id);
        var assessed = row is null ? null : AssessmentDocument.Read(row.Outputs);
        var checks = NextChecks(horse.Id, assessed, row?.Id);
        var observations = Observations[horse.Id].Select(Observation).ToList();
        IReadOnlyList<BoardPairingAnswer> pairings = assessed is null ? [] : [.. assessed.Pairings.Select(Pairing)];
        var lastMeasured = Instants.ReadDayIfAny(horse.LastMeasuredOn);
        return new BoardHorseAnswer(
            new(horse.Id, horse.Name), BoardWords.Line(horse.Name, checks, pairings, observations, today), pairings, checks.FirstOrDefault(), checks,
            lastMeasured, Trend(assessed), observations, row is null ? null : Instants.ReadDay(row.AssessedOn), row is null ? null : $"/v1/assessments/{row.Id}");
    }

    /// <summary>Checks that are alive, then what the assessment sees coming, each kind and pairing once.</summary>
    private List<NextCheckAnswer> NextChecks(string horseId, AssessmentDocument? assessed, string? assessmentId)
    {
        var alive = Checks[horseId].Select(row =>
        {
            var check = CheckAnswer.Of(row);
            return new NextCheckAnswer(check.Id, check.Kind, check.State, check.PairingId, check.BookBy, check.DueOn, check.BookedOn, check.Urgency, check.Reasons);
        }).ToList();
        var coming = (assessed?.Wanted ?? [])
            .Where(w => w.NoticeOn > today && !alive.Exists(a => a.Kind == w.Kind && a.PairingId == w.PairingId))
            .Select(w => new NextCheckAnswer(
                null, w.Kind, null, w.PairingId, w.Days.BookBy, w.Days.DueOn, null, w.Days.Urgency, [.. w.Reasons.Select(r => ReasonAnswer.Of(r, assessmentId))]));
        return [.. alive.Concat(coming).OrderByDescending(c => c.Kind == CheckKind.Vet).ThenByDescending(c => c.Urgency == Urgency.Now).ThenBy(c => c.DueOn)];
    }

    private static BoardPairingAnswer Pairing(PairingDocument pairing) => new(
        pairing.PairingId, new(pairing.SaddleId, pairing.SaddleLabel), pairing.Advice, pairing.AdviceText,
        pairing.Worst() is { } worst ? new(worst.Measure, worst.Station, worst.Severity, worst.Text) : null,
        pairing.LeavesToleranceOn, pairing.Missing);

    /// <summary>
    /// A width 150 mm down wherever one was measured: where the finding to look at first is, else where the one is that is forecast to go
    /// first, else the one that moves most surely. Failing that the lowest, in the same order.
    /// </summary>
    private static BoardTrendAnswer? Trend(AssessmentDocument? assessed)
    {
        var pressing = assessed?.Pairings.MaxBy(p => p.ProbabilityOut);
        string?[] places = [pressing?.Worst()?.Station, pressing?.DrivenBy];
        var trend = (assessed?.Trends ?? [])
            .Select(t => (Trend: t, Metric: Metric.TryParse(t.Metric, out var metric) ? metric : default))
            .OrderByDescending(t => t.Metric.DepthMm == WidthFit.DepthMm)
            .ThenByDescending(t => t.Metric.Station?.ToString() is var at && at == places[0] ? 2 : at == places[1] ? 1 : 0)
            .ThenByDescending(t => t.Metric.DepthMm)
            .ThenByDescending(t => Math.Abs(t.Trend.Probability - .5))
            .FirstOrDefault().Trend;
        return trend is null ? null : new(trend.Metric, trend.Direction, trend.PerFourWeeks, trend.Probability, BoardWords.Trend(trend));
    }

    private BoardObservationAnswer Observation(ObservationRow row) => new(
        row.Id, Words.Read<ObservationKind>(row.Kind), Instants.ReadDay(row.ObservedOn), row.Station, row.Side, row.Note,
        ObservationFacts.IsVetFirst(row, policy));
}
