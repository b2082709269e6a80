using System.Security.Cryptography;
using System.Text;
using BackTracker.Engine.Assessments;
using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Engine.Priors;
using BackTracker.Engine.Repeatability;
using BackTracker.Service.Http;

namespace BackTracker.Service.Features.Assessments;

/// <summary>A stored record and the version that was read.</summary>
/// <param name="Id">Id.</param>
/// <param name="Version">Version.</param>
public sealed record ReadVersion(string Id, long Version);

/// <summary>Rides that were read. Somebody rides nearly every day, so they are counted and not listed.</summary>
/// <param name="Count">How many.</param>
/// <param name="FirstId">Id of the first; null where there is none.</param>
/// <param name="LastId">Id of the last; null where there is none.</param>
public sealed record ReadRides(int Count, string? FirstId, string? LastId)
{
    public static ReadRides Of(IReadOnlyList<Storage.Rides.RideRow> rides) => rides is [var first, ..] ? new(rides.Count, first.Id, rides[^1].Id) : new(0, null, null);
}

/// <summary>A repeat error that was learned and that trends of the horse went by. Every other one is the starting value of its metric.</summary>
/// <param name="PersonId">Who measured; empty where nobody said.</param>
/// <param name="Method">With what.</param>
/// <param name="Metric">What, for example T13.width150.</param>
/// <param name="Basis">From whose repeats: the person's, or those of everybody with the method.</param>
/// <param name="DegreesOfFreedom">How much is known, in repeats beyond the first.</param>
/// <param name="Sd">Standard deviation of one reading within its session, in the unit of the metric.</param>
public sealed record ErrorDocument(string PersonId, MeasuringMethod Method, string Metric, ErrorBasis Basis, double DegreesOfFreedom, double Sd)
{
    public static ErrorDocument Of(LearnedError error) => new(error.PersonId, error.Method, error.Metric.ToString(), error.Basis, error.DegreesOfFreedom, error.Sd);
}

/// <summary>What an assessment read, by id and version, and the settings it used.</summary>
/// <param name="Horse">The horse.</param>
/// <param name="Yard">The yard.</param>
/// <param name="Measurements">Measurements that count.</param>
/// <param name="Phases">Phases.</param>
/// <param name="Events">Events.</param>
/// <param name="Observations">Observations.</param>
/// <param name="Pairings">Pairings.</param>
/// <param name="TreeShapes">Tree shapes.</param>
/// <param name="Adjustments">Adjustments.</param>
/// <param name="Rides">Rides in the saddles, on whichever horse, since each was last looked at.</param>
/// <param name="Fitters">Fitters and saddlers of the yard.</param>
/// <param name="Policy">Settings of the service.</param>
/// <param name="YardPolicy">What the yard has of its own.</param>
/// <param name="PairingPolicies">What the pairings have of their own, by id.</param>
/// <param name="Errors">Repeat errors that were learned.</param>
/// <param name="Priors">What was learned over all horses and bears on this one: with it the trends can be worked out again wherever the assessment is read.</param>
public sealed record AssessmentInputs(
    ReadVersion Horse, ReadVersion Yard, IReadOnlyList<ReadVersion> Measurements, IReadOnlyList<ReadVersion> Phases,
    IReadOnlyList<ReadVersion> Events, IReadOnlyList<ReadVersion> Observations, IReadOnlyList<ReadVersion> Pairings,
    IReadOnlyList<ReadVersion> TreeShapes, IReadOnlyList<ReadVersion> Adjustments, ReadRides Rides, IReadOnlyList<ReadVersion> Fitters, CheckPolicy Policy,
    IReadOnlyDictionary<string, double> YardPolicy, IReadOnlyDictionary<string, IReadOnlyDictionary<string, double>> PairingPolicies,
    IReadOnlyList<ErrorDocument> Errors, LearnedPriors Priors)
{
    /// <summary>Saddles that are being made.</summary>
    public IReadOnlyList<ReadVersion> Commissions { get; init; } = [];

    /// <summary>Saddles of the pairings.</summary>
    public IReadOnlyList<ReadVersion> Saddles { get; init; } = [];

    /// <summary>The same for equal inputs and no others.</summary>
    public string Digest() => DigestOf(this);

    /// <summary>
    /// Everything that makes another assessment worth storing: what was read, how things stand and what is wanted, but not the numbers
    /// that drift from day to day, so that a quiet night writes nothing. Nor the rides: somebody rides nearly every day, and what comes of
    /// it shows in what is wanted. Nor the repeat errors, which move a little whenever any horse of the yard is measured. Priors are told by the model's version.
    /// </summary>
    public string SignatureWith(Assessment assessment)
    {
        var standing = assessment.Pairings.Select(p => new { p.PairingId, p.Advice, Severities = p.Findings.Select(f => (object)new { Key = f.Key.ToString(), f.Severity }) });
        var wanted = assessment.Wanted.Select(w => new
        {
            w.Kind,
            w.PairingId,
            Causes = w.Reasons.Select(r => new { r.Cause, r.Measure, r.Station, r.Side, r.SourceId }).OrderBy(c => (c.Cause, c.Station, c.SourceId)),
        });
        return DigestOf(new { Inputs = this with { Rides = ReadRides.Of([]), Errors = [], Priors = LearnedPriors.None }, assessment.EngineVersion, assessment.ModelVersion, assessment.VetFirstObservationIds, standing, wanted });
    }

    private static string DigestOf<T>(T value) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Json.Write(value))));
}
