using BackTracker.Engine.Advice;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;

namespace BackTracker.Service.Features.Fit;

/// <summary>Where a panel is to be changed.</summary>
/// <param name="Side">The side.</param>
/// <param name="Zone">The third of the panel.</param>
/// <param name="Mm">By how much, mm, + = thicker.</param>
public sealed record AdvisedZone(Side Side, Zone Zone, double Mm);

/// <summary>How long a saddle stays in tolerance from the day known on.</summary>
/// <param name="ProbabilityOut">Probability that it is out on that day.</param>
/// <param name="RiskLimitOn">First day by which the probability of having left tolerance reaches `riskLimit`; null where it does not within the horizon.</param>
/// <param name="EvenOn">First day by which it reaches one half; null where it does not within the horizon.</param>
/// <param name="ExpectedDays">How many days of the horizon are to be expected to pass before it leaves tolerance.</param>
public sealed record TimeWithinAnswer(double ProbabilityOut, DateOnly? RiskLimitOn, DateOnly? EvenOn, double ExpectedDays)
{
    public static TimeWithinAnswer? Of(TimeWithin? time) => time is null ? null : new(time.ProbabilityOut, time.RiskLimitOn, time.EvenOn, time.ExpectedDays);
}

/// <summary>The small adjustment of the panel that keeps a pairing in tolerance longest, or why there is none.</summary>
/// <param name="PairingId">The pairing.</param>
/// <param name="AsOf">The day known: nothing that happened later was looked at, and an adjustment is supposed on it.</param>
/// <param name="Kind">What is advised.</param>
/// <param name="Zones">Where and by how much; none where nothing is to be done at the panel.</param>
/// <param name="Text">In words.</param>
/// <param name="RiskLimit">The probability at which somebody is called.</param>
/// <param name="HorizonDays">Days looked ahead.</param>
/// <param name="AsIs">As it is, from that day on; null where it cannot be told.</param>
/// <param name="Adjusted">Once adjusted; null where nothing is to be done at the panel.</param>
/// <param name="GainDays">How many more days are to be expected to pass before it leaves tolerance; 0 where nothing is to be done at the panel.</param>
/// <param name="Missing">What is not known of the fit, and which measurements would bring it.</param>
/// <param name="Cautions">What to keep in mind.</param>
public sealed record AdviceAnswer(
    string PairingId, DateOnly AsOf, AdviceKind Kind, IReadOnlyList<AdvisedZone> Zones, string Text, double RiskLimit, int HorizonDays,
    TimeWithinAnswer? AsIs, TimeWithinAnswer? Adjusted, double GainDays, IReadOnlyList<string> Missing, IReadOnlyList<string> Cautions)
{
    internal static AdviceAnswer Of(KnownPairing known, PairingFit fit, PanelAdvice advice) => new(
        known.Row.Id, known.AsOf, advice.Kind, [.. advice.Zones.Select(zone => new AdvisedZone(zone.Side, zone.Zone, zone.Mm))], advice.Text,
        known.Policy.RiskLimit, known.Policy.HorizonDays, TimeWithinAnswer.Of(advice.AsIs), TimeWithinAnswer.Of(advice.Adjusted), advice.GainDays, fit.Missing,
        [.. known.CautionsOf(fit), .. Engine.Checks.Cautions.ForAdvice]);
}
