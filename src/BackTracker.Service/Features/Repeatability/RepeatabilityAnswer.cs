using BackTracker.Engine.Measures;
using BackTracker.Engine.Repeatability;
using BackTracker.Service.Features.Boards;

namespace BackTracker.Service.Features.Repeatability;

/// <summary>Least change between two sessions that is more than chance.</summary>
/// <param name="Repeats">Repeats in each of the two.</param>
/// <param name="Change">The change, 95 % confidence, in the unit of the metric.</param>
public sealed record RealChangeAnswer(int Repeats, double Change);

/// <summary>What trends take for one reading within a session.</summary>
/// <param name="Sd">Its standard deviation.</param>
/// <param name="Basis">From whose repeats: starting (the metric's own value, because too little was repeated), method (everybody with it) or person.</param>
public sealed record UsedErrorAnswer(double Sd, ErrorBasis Basis);

/// <summary>How one metric is measured with one method.</summary>
/// <param name="Method">The method.</param>
/// <param name="Metric">The metric, for example T13.width150.</param>
/// <param name="Unit">Unit of everything below.</param>
/// <param name="Sessions">Sessions that hold it.</param>
/// <param name="Repeats">Repeats beyond the first of a session: degrees of freedom.</param>
/// <param name="Sd">Standard deviation of one reading within its session, shrunk towards what is usual.</param>
/// <param name="Band95">Low and high end of its 95 % interval.</param>
/// <param name="UsualSd">What it is shrunk towards: the others with the method, else the starting value of the metric.</param>
/// <param name="SessionSd">Standard deviation from one session to the next, which no repeat makes smaller.</param>
/// <param name="SessionPairs">From how many sessions within a week that was learned, beyond the first of each week; 0 where it is the starting value.</param>
/// <param name="LeastRealChange">Least change between two sessions that is more than chance, for 1 to 5 repeats in each.</param>
/// <param name="RepeatsThatDo">Fewest repeats after which further ones gain little.</param>
/// <param name="UsedInTrends">What trends go by.</param>
/// <param name="Text">In words.</param>
public sealed record RepeatabilityAnswer(
    MeasuringMethod Method, string Metric, string Unit, int Sessions, int Repeats, double Sd, IReadOnlyList<double> Band95, double UsualSd,
    double SessionSd, int SessionPairs, IReadOnlyList<RealChangeAnswer> LeastRealChange, int RepeatsThatDo, UsedErrorAnswer UsedInTrends, string Text)
{
    /// <summary>Each person's standard deviation, where the method was asked for; empty for a person.</summary>
    public IReadOnlyList<PersonErrorAnswer> People { get; init; } = [];

    public static RepeatabilityAnswer Of(MetricRepeatability item) => new(
        item.Method, item.Metric.ToString(), item.Metric.Unit, item.Sessions, item.Repeats.DegreesOfFreedom, Round(item.Estimate.Sd), Band(item.Estimate),
        Round(item.Towards.Sd), Round(item.SessionSd), item.SessionDegreesOfFreedom,
        [.. Enumerable.Range(1, MeasurementError.MostRepeats).Select(repeats => new RealChangeAnswer(repeats, Round(item.Error.LeastRealChange(repeats))))],
        item.Error.RepeatsThatDo, new(Round(item.Used.Sd), item.Used.Basis), RepeatabilityWords.Of(item));

    internal static IReadOnlyList<double> Band(ErrorEstimate estimate) => [Round(estimate.Interval95.Low), Round(estimate.Interval95.High)];

    internal static double Round(double value) => Math.Round(value, 4);
}

/// <summary>How far the repeats of one person lie apart.</summary>
/// <param name="Person">The person.</param>
/// <param name="Sd">Standard deviation of one reading within its session, shrunk towards how people differ.</param>
/// <param name="Band95">Low and high end of its 95 % interval.</param>
public sealed record PersonErrorAnswer(NamedAnswer Person, double Sd, IReadOnlyList<double> Band95);

/// <summary>A number with the ends of its 95 % interval.</summary>
/// <param name="Value">The number.</param>
/// <param name="Low">Low end.</param>
/// <param name="High">High end.</param>
public sealed record BetweenAnswer(double Value, double Low, double High)
{
    public static BetweenAnswer Of(Between between) =>
        new(RepeatabilityAnswer.Round(between.Value), RepeatabilityAnswer.Round(between.Low), RepeatabilityAnswer.Round(between.High));
}

/// <summary>How two sides agree that measured the same horses within a week, before work.</summary>
/// <param name="Person">The other person; null where methods are compared.</param>
/// <param name="OtherMethod">The other method; null where people are compared.</param>
/// <param name="Method">With what the one asked for measured.</param>
/// <param name="Metric">The metric.</param>
/// <param name="Unit">Unit of the differences.</param>
/// <param name="Pairs">Horses and weeks compared.</param>
/// <param name="Bias">Mean of the one asked for less the other.</param>
/// <param name="LowLimit">Limit of agreement: 95 of 100 differences lie above it and below the high one, if they are normal.</param>
/// <param name="HighLimit">The high limit.</param>
/// <param name="Text">In words.</param>
public sealed record AgreementAnswer(
    NamedAnswer? Person, MeasuringMethod? OtherMethod, MeasuringMethod Method, string Metric, string Unit, int Pairs, BetweenAnswer Bias, BetweenAnswer LowLimit,
    BetweenAnswer HighLimit, string Text)
{
    public static AgreementAnswer Of(AgreementWith<string> found, NamedAnswer other) =>
        Of(found.Agreement, found.Method, found.Metric, other.Name) with { Person = other };

    public static AgreementAnswer Of(AgreementWith<MeasuringMethod> found) =>
        Of(found.Agreement, found.Method, found.Metric, RepeatabilityWords.The(found.Other)) with { OtherMethod = found.Other };

    private static AgreementAnswer Of(Agreement agreement, MeasuringMethod method, Metric metric, string other) => new(
        null, null, method, metric.ToString(), metric.Unit, agreement.Pairs, BetweenAnswer.Of(agreement.Offset), BetweenAnswer.Of(agreement.LowLimit()),
        BetweenAnswer.Of(agreement.HighLimit()), RepeatabilityWords.Of(agreement, metric, other));
}

/// <summary>How surely a station is found again.</summary>
/// <param name="Station">The station.</param>
/// <param name="Sessions">Sessions in which it was measured.</param>
/// <param name="Placed">Those that say where it lies, in stationPositionsMm.</param>
/// <param name="PlaceSdMm">Standard deviation of these places on the same horse; null where none was given twice.</param>
/// <param name="Text">In words.</param>
public sealed record StationMarkAnswer(string Station, int Sessions, int Placed, double? PlaceSdMm, string Text)
{
    public static StationMarkAnswer Of(StationMark mark) => new(
        mark.Station.ToString(), mark.Sessions, mark.Placed, mark.Scatter.DegreesOfFreedom > 0 ? RepeatabilityAnswer.Round(mark.Scatter.Sd) : null, RepeatabilityWords.Of(mark));
}

/// <summary>How well a person measures.</summary>
/// <param name="Person">The person.</param>
/// <param name="AsOf">The day known: nothing that was measured later was looked at.</param>
/// <param name="Sessions">Sessions of theirs looked at, the latest 400 at most.</param>
/// <param name="Text">In short.</param>
/// <param name="Items">One a method and metric, widths first, from front to rear.</param>
/// <param name="Others">Other people who measured the same horses with the same method within a week.</param>
/// <param name="Stations">How surely stations are found again.</param>
/// <param name="Advice">What would make it better.</param>
public sealed record PersonRepeatabilityAnswer(
    NamedAnswer Person, DateOnly AsOf, int Sessions, string Text, IReadOnlyList<RepeatabilityAnswer> Items, IReadOnlyList<AgreementAnswer> Others,
    IReadOnlyList<StationMarkAnswer> Stations, IReadOnlyList<string> Advice);

/// <summary>How well a method measures, in the hands of those who use it.</summary>
/// <param name="Method">The method.</param>
/// <param name="AsOf">The day known: nothing that was measured later was looked at.</param>
/// <param name="Sessions">Sessions looked at, the latest 400 at most.</param>
/// <param name="Text">In short.</param>
/// <param name="Items">One a metric, widths first, from front to rear.</param>
/// <param name="Others">Other methods with which the same horses were measured within a week.</param>
/// <param name="Advice">What would make it better.</param>
public sealed record MethodRepeatabilityAnswer(
    MeasuringMethod Method, DateOnly AsOf, int Sessions, string Text, IReadOnlyList<RepeatabilityAnswer> Items, IReadOnlyList<AgreementAnswer> Others, IReadOnlyList<string> Advice);
