using BackTracker.Engine.Checks;
using BackTracker.Engine.Commissions;
using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Assessments;

/// <summary>A horse on a day with everything its causes look at, worked out once.</summary>
internal sealed class Situation
{
    public Situation(HorseFacts facts, CheckPolicy policy, TrendModel model, DateOnly today)
    {
        Facts = facts;
        Policy = policy;
        Model = model;
        Today = today;
        Phase = facts.Phases
            .Where(phase => phase.From <= today)
            .OrderBy(phase => phase.From)
            .ThenBy(phase => phase.Id, StringComparer.Ordinal)
            .LastOrDefault()?.Phase;
        Trends = new HorseTrends(facts, model);
        Calendar = WorkCalendar.Of(facts, policy);
        VetFirstSigns = Signs.OpenVetFirst(facts, policy);
        LastSession = SeriesBuilder.Trended(facts).LastOrDefault(session => session.Readings.Any(reading => reading.Metric.Station is not null));
        Pairings = facts.Status == HorseStatus.Active
            ? [.. facts.Pairings.Where(pairing => pairing.To is not { } to || to >= today).OrderBy(pairing => pairing.Id, StringComparer.Ordinal).Select(pairing => new PairingView(this, pairing))]
            : [];
        Commissions = facts.Status == HorseStatus.Active
            ? [.. facts.Commissions.Where(commission => Stages.IsBeforeDelivery(commission.Stage)).OrderBy(commission => commission.Id, StringComparer.Ordinal).Select(Outlook)]
            : [];
    }

    public HorseFacts Facts { get; }

    /// <summary>Settings of the horse; a pairing may have others (<see cref="PairingView.Policy"/>).</summary>
    public CheckPolicy Policy { get; }

    public TrendModel Model { get; }

    public DateOnly Today { get; }

    public HorseTrends Trends { get; }

    public WorkCalendar Calendar { get; }

    /// <summary>Open vet-first signs, oldest first.</summary>
    public IReadOnlyList<ObservationFact> VetFirstSigns { get; }

    /// <summary>The latest session before work that measured the back somewhere; null where there is none.</summary>
    public SessionFact? LastSession { get; }

    /// <summary>Pairings in use, by id.</summary>
    public IReadOnlyList<PairingView> Pairings { get; }

    /// <summary>Saddles that are being made for the horse, by the id of the commission.</summary>
    public IReadOnlyList<CommissionAssessment> Commissions { get; }

    /// <summary>Phase of the day; null where none is recorded.</summary>
    public Phase? Phase { get; }

    /// <summary>Whether the horse is younger than the age at which it counts as grown.</summary>
    public bool IsGrowing => Facts.BornOn is { } born && born.AddYears(Policy.GrowingYears) > Today;

    private CommissionAssessment Outlook(CommissionFact commission) => new(
        commission.Id, commission.Planned.SaddleLabel, commission.Stage, commission.DeliveryOn,
        DeliveryOutlook.Of(commission, Trends, Policy, Today).Days()[0].ProbabilityFits);
}
