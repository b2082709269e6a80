using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Pairings;
using BackTracker.Service.Http;
using BackTracker.Storage.Pairings;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Fit;

/// <summary>What was known of a pairing on a day.</summary>
/// <param name="Row">The pairing as stored.</param>
/// <param name="AsOf">The day.</param>
/// <param name="Trends">Trends of the horse as of that day.</param>
/// <param name="Pairing">The pairing as of that day.</param>
/// <param name="Policy">Settings of the pairing.</param>
/// <param name="Inputs">Ids and versions of every fact.</param>
internal sealed record KnownPairing(PairingRow Row, DateOnly AsOf, HorseTrends Trends, PairingFact Pairing, CheckPolicy Policy, AssessmentInputs Inputs)
{
    private static readonly Dictionary<string, Severity> NoSeverities = [];

    /// <summary>Loads what was known.</summary>
    /// <exception cref="ProblemException">There is no such pairing, or it had not begun.</exception>
    public static async Task<KnownPairing> LoadAsync(
        string id, QueryDay? asOf, Caller caller, Database database, TimeProvider clock, CheckPolicy service, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var row = await PairingEndpoints.RequireAsync(session, caller, id);
        var known = await KnownHorse.LoadAsync(session, row.HorseId, asOf, clock, service);
        var (day, all, trends) = known;
        // What is to begin later can be laid on the horse as it is known today.
        var pairing = trends.Facts.Pairings.FirstOrDefault(p => p.Id == row.Id) ?? all.Pairings.First(p => p.Id == row.Id);
        // What was flagged lately says nothing of an earlier day.
        return new KnownPairing(row, day, trends, asOf is null ? pairing : pairing with { LastSeverities = NoSeverities }, known.Policy.With(pairing.OwnPolicy), known.Inputs);
    }

    /// <summary>Whether the saddle was in use, or was yet to be, on that day.</summary>
    public bool HasBegun => Pairing.From <= AsOf;

    /// <summary>Until or from when it is used; empty where it was in use on that day.</summary>
    public string NotInUse => Pairing.To is { } end && end < AsOf ? $"Used until {Engine.Words.Day(end)}: this is how it would lie today."
        : HasBegun ? ""
        : $"To be used from {Engine.Words.Day(Pairing.From)}: this is how it would lie today.";

    /// <summary>The saddle laid on the horse, for a span of days.</summary>
    public PairingFit Fit(DateOnly first, DateOnly last) => new(Pairing, Trends, Policy, AsOf, (first, last));

    /// <summary>Whether a vet must look before anything else.</summary>
    public bool VetFirst => Signs.OpenVetFirst(Trends.Facts, Policy).Count > 0;

    /// <summary>Cautions for whoever reads a fit.</summary>
    public IReadOnlyList<string> CautionsOf(PairingFit fit) =>
    [
        .. VetFirst ? Cautions.VetFirst : [],
        .. Cautions.ForFit,
        .. fit.IsLaid ? Cautions.ForLaidTree : [],
        .. fit.IsModelled ? [Cautions.Modelled] : Array.Empty<string>(),
    ];

    /// <summary>What the horse carries under a rider; null where something was not weighed.</summary>
    public LoadAnswer? Load(double? riderKg)
    {
        var weighed = Trends.Facts.Sessions.OrderBy(s => s.On).SelectMany(s => s.Readings).Where(r => r.Metric == new Metric(Quantity.Weight)).Select(r => (double?)r.Value).LastOrDefault();
        return (riderKg ?? Row.RiderWeightKg) is { } rider && weighed is { } horse ? LoadAnswer.Of(new CarriedLoad(rider + (Row.TackWeightKg ?? 0), horse), Policy) : null;
    }
}
