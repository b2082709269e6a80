using BackTracker.Engine.Alerts;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Alerts;

namespace BackTracker.Service.Features.Alerts;

/// <summary>Alerts between the store and the engine.</summary>
internal static class AlertMapping
{
    public static AlertFact ToFact(AlertRow row, string timeZone) =>
        new(row.Id, row.YardId, Words.Read<AlertState>(row.State), ProblemOf(row), Instants.ReadDayIfAny(row.OverdueSince))
        {
            AcknowledgedOn = row.AcknowledgedAt is null ? null : YardTime.Day(timeZone, Instants.Read(row.AcknowledgedAt)),
        };

    /// <summary>What is to be done about it; where no check answers it, it is a saddle that is being made or a sign for the vet.</summary>
    public static CheckKind KindOf(AlertRow row) =>
        row.CheckKind is not null ? Words.Read<CheckKind>(row.CheckKind) : row.CommissionId is not null ? CheckKind.Refit : CheckKind.Vet;

    public static AlertToTell ToTell(AlertRow row, IEnumerable<BookedPersonRow> booked) => new(
        row.HorseId, Words.Read<AlertState>(row.State), ProblemOf(row), Words.Read<AlertNews>(row.News), row.ChangeNo,
        Instants.ReadDayIfAny(row.OverdueSince), [.. booked.Where(person => IsFor(row, person)).Select(person => person.PersonId).Append(row.SaddlerId).OfType<string>().Distinct()]);

    public static QuietPeriod ToQuiet(QuietPeriodRow row) => new(
        row.HorseId ?? "", row.Cause is null ? null : Words.Read<Cause>(row.Cause), Instants.ReadDay(row.UntilDay), row.Reason);

    public static AlertRow With(this AlertRow row, Problem problem, DateOnly? overdueSince) => row with
    {
        Identity = problem.Key.ToString(),
        Concern = Words.Write(problem.Key.Concern),
        Cause = Words.Write(problem.Key.Cause),
        PairingId = problem.Key.PairingId,
        CommissionId = problem.Key.CommissionId,
        Measure = problem.Key.Measure,
        Station = problem.Key.Station,
        Side = problem.Key.Side is { } side ? Words.Write(side) : null,
        CheckId = problem.CheckId,
        Urgency = Words.Write(problem.Urgency),
        Text = problem.Text,
        BookBy = Instants.WriteDay(problem.BookBy),
        DueOn = Instants.WriteDay(problem.DueOn),
        BookedOn = problem.BookedOn is { } booked ? Instants.WriteDay(booked) : null,
        OverdueSince = overdueSince is { } since ? Instants.WriteDay(since) : null,
    };

    private static Problem ProblemOf(AlertRow row) => new(
        new ProblemKey(
            Words.Read<Concern>(row.Concern), Words.Read<Cause>(row.Cause), row.PairingId, row.Measure, row.Station,
            row.Side is null ? null : Words.Read<Side>(row.Side))
        {
            CommissionId = row.CommissionId,
        },
        KindOf(row), row.CheckId, row.Text, Words.Read<Urgency>(row.Urgency), Instants.ReadDay(row.BookBy), Instants.ReadDay(row.DueOn),
        Instants.ReadDayIfAny(row.BookedOn));

    // A vet-first sign stops every visit to the horse: whoever is to come must know.
    private static bool IsFor(AlertRow row, BookedPersonRow person) =>
        person.CheckId == row.CheckId || (row.Cause == Words.Write(Cause.VetFirst) && person.HorseId == row.HorseId);
}
