namespace BackTracker.Engine.Fit;

/// <summary>
/// Rider and all tack as a share of the horse's weight: noted above 15 %, warned of above 20 %. Sources conflict: all 13 tests with riders
/// above 15 % were stopped (Dyson et al. 2019, a pilot), 15 and 20 % did alike and 25 to 30 % worse (Powell et al. 2008, second-hand).
/// </summary>
/// <param name="RiderAndTackKg">Rider and all tack, kg.</param>
/// <param name="HorseKg">Weight of the horse, over 0, kg.</param>
public readonly record struct CarriedLoad(double RiderAndTackKg, double HorseKg)
{
    private const double NotedFrom = .15;
    private const double WarnedFrom = .20;

    /// <summary>The share, 0 to 1.</summary>
    public double Share => RiderAndTackKg / HorseKg;

    /// <summary>In words.</summary>
    public string Text => Share switch
    {
        > WarnedFrom => $"Rider and tack are {Words.Percent(Share)} of the horse's weight, above 20 %: too heavy by every source. Ask a vet before riding on.",
        > NotedFrom => $"Rider and tack are {Words.Percent(Share)} of the horse's weight, above 15 %: sources disagree whether that is too much.",
        _ => $"Rider and tack are {Words.Percent(Share)} of the horse's weight.",
    };
}
