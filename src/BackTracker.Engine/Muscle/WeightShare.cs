using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Muscle;

/// <summary>By what the part of a profile that goes with body mass is told.</summary>
public enum WeightBasis
{
    /// <summary>Weight alone.</summary>
    Weight,

    /// <summary>Weight and condition score together.</summary>
    WeightAndCondition,
}

/// <summary>How far a measure of the back goes with weight and condition, pooled over horses.</summary>
/// <param name="Metric">The measure.</param>
/// <param name="Basis">By what.</param>
/// <param name="Horses">Learned from how many horses.</param>
/// <param name="PerKg">Change for one kg, in the measure's unit.</param>
/// <param name="PerPoint">Change for one point of condition, in the measure's unit; 0 where it goes by weight alone.</param>
/// <param name="PerKgVar">Variance of the former, from horse to horse counted in.</param>
/// <param name="PerPointVar">Variance of the latter.</param>
/// <param name="Covariance">Covariance of both.</param>
public sealed record WeightShare(
    Metric Metric, WeightBasis Basis, int Horses, double PerKg, double PerPoint, double PerKgVar, double PerPointVar, double Covariance)
{
    /// <summary>The part that goes with a change of weight and condition.</summary>
    internal double Of(double kg, double points) => (PerKg * kg) + (PerPoint * points);

    /// <summary>Its variance as far as the coefficients are uncertain.</summary>
    internal double VarOf(double kg, double points) => (PerKgVar * kg * kg) + (2 * Covariance * kg * points) + (PerPointVar * points * points);
}

/// <summary>Why nothing was learned of how a measure goes with weight.</summary>
public enum ShareRefusal
{
    /// <summary>Fewer horses than it takes were measured and weighed in the same sessions often enough.</summary>
    TooFewHorses,

    /// <summary>Weight or condition moved too little beside the error of reading them.</summary>
    HardlyMoved,
}

/// <summary>A share that was looked for and not taken.</summary>
/// <param name="Metric">The measure.</param>
/// <param name="Basis">By what.</param>
/// <param name="Horses">Of how many horses.</param>
/// <param name="Why">Why not.</param>
public sealed record RefusedShare(Metric Metric, WeightBasis Basis, int Horses, ShareRefusal Why);
