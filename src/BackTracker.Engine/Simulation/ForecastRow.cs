namespace BackTracker.Engine.Simulation;

/// <summary>How forecasts of some horses did at a horizon, with intervals over horses.</summary>
/// <param name="DaysAhead">How far ahead.</param>
/// <param name="Forecasts">How many.</param>
/// <param name="Cover">Share of true widths inside the band of 80 %.</param>
/// <param name="BiasMm">Mean of forecast less truth, mm.</param>
/// <param name="ErrorMm">Root mean square of forecast less truth, mm.</param>
/// <param name="OtherErrorMm">The same of what the forecasts are held against, mm.</param>
/// <param name="AgainstOther">The first over the second: under 1 the forecast is the better.</param>
public sealed record ForecastRow(int DaysAhead, int Forecasts, Estimate Cover, Estimate BiasMm, Estimate ErrorMm, Estimate OtherErrorMm, Estimate AgainstOther)
{
    /// <summary>Sums up forecasts that are all equally far ahead.</summary>
    /// <param name="byHorse">The forecasts of each horse; horses without any do not count.</param>
    public static ForecastRow Of(IEnumerable<IEnumerable<ForecastTrial>> byHorse)
    {
        ForecastTrial[][] herd = [.. byHorse.Select(own => own.ToArray()).Where(own => own.Length > 0)];
        var count = Sums(herd, _ => 1);
        var (square, otherSquare) = (Sums(herd, trial => trial.ErrorMm * trial.ErrorMm), Sums(herd, trial => trial.OtherErrorMm * trial.OtherErrorMm));
        return new ForecastRow(
            herd[0][0].DaysAhead,
            herd.Sum(own => own.Length),
            Bootstrap.Ratio(Sums(herd, trial => trial.IsInside ? 1 : 0), count),
            Bootstrap.Ratio(Sums(herd, trial => trial.ErrorMm), count),
            Root(Bootstrap.Ratio(square, count)),
            Root(Bootstrap.Ratio(otherSquare, count)),
            Root(Bootstrap.Ratio(square, otherSquare)));
    }

    private static double[] Sums(ForecastTrial[][] herd, Func<ForecastTrial, double> part) => [.. herd.Select(own => own.Sum(part))];

    // Percentiles keep their places under a root.
    private static Estimate Root(Estimate square) => new(Math.Sqrt(square.Value), Math.Sqrt(square.Low), Math.Sqrt(square.High));
}
