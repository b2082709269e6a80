using System.Globalization;
using BackTracker.Engine.Checks;

namespace BackTracker.Engine.Fit;

/// <summary>
/// Rider and all tack as a share of the horse's weight: noted and warned of above the shares that the policy sets. Sources conflict: all 13 tests with riders
/// above 15 % were stopped (Dyson et al. 2019, a pilot), 15 and 20 % did alike and 25 to 30 % worse (Powell et al. 2008, second-hand).
/// </summary>
/// <param name="RiderAndTackKg">Rider and all tack, kg.</param>
/// <param name="HorseKg">Weight of the horse, over 0, kg.</param>
public readonly record struct CarriedLoad(double RiderAndTackKg, double HorseKg)
{
    /// <summary>The share, 0 to 1.</summary>
    public double Share => RiderAndTackKg / HorseKg;

    /// <summary>In words.</summary>
    public string Text(CheckPolicy policy)
    {
        ArgumentNullException.ThrowIfNull(policy);
        var carried = string.Create(CultureInfo.InvariantCulture, $"Rider and tack are {100 * Share:0.0} % of the horse's weight");
        if (Share > policy.LoadWarnedFrom)
            return $"{carried}, above {Words.Percent(policy.LoadWarnedFrom)}: ask a vet whether that is too much before riding on.";
        return Share > policy.LoadNotedFrom ? $"{carried}, above {Words.Percent(policy.LoadNotedFrom)}: sources disagree whether that is too much." : $"{carried}.";
    }
}
