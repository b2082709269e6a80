namespace BackTracker.Service.Pictures;

/// <summary>Stretches of a strip in which it presses within a band, straight from patch to patch.</summary>
internal static class PressureBands
{
    /// <summary>The stretches from inner to outer edge.</summary>
    /// <param name="strip">A strip.</param>
    /// <param name="isIn">Whether a pressure lies in the band.</param>
    /// <param name="limits">The ends of the band.</param>
    public static IEnumerable<(double FromMm, double ToMm)> Of(IReadOnlyList<(double LateralMm, double Pressure)> strip, Func<double, bool> isIn, params double[] limits)
    {
        var (inner, outer) = DrawnPanel.EdgesOf(strip);
        double[] cuts = [inner, .. Enumerable.Range(0, strip.Count - 1).SelectMany(i => CutsBetween(strip[i], strip[i + 1], limits)), outer];
        double? from = null;
        for (var i = 0; i < cuts.Length - 1; i++)
        {
            var within = isIn(At(strip, .5 * (cuts[i] + cuts[i + 1])));
            if (within)
                from ??= cuts[i];
            if (from is { } begun && (!within || i == cuts.Length - 2))
            {
                yield return (begun, within ? cuts[i + 1] : cuts[i]);
                from = null;
            }
        }
    }

    // Where a patch is not known, half way.
    private static IEnumerable<double> CutsBetween((double LateralMm, double Pressure) a, (double LateralMm, double Pressure) b, double[] limits)
    {
        if (double.IsNaN(a.Pressure) != double.IsNaN(b.Pressure))
            return [.5 * (a.LateralMm + b.LateralMm)];
        // In the order of the way from one to the other, so that stretches do not overlap.
        return limits.Select(limit => (limit - a.Pressure) / (b.Pressure - a.Pressure)).Where(share => share is >= 0 and < 1).Order().Select(share => double.Lerp(a.LateralMm, b.LateralMm, share));
    }

    private static double At(IReadOnlyList<(double LateralMm, double Pressure)> strip, double lateralMm)
    {
        var after = Enumerable.Range(0, strip.Count).FirstOrDefault(i => Math.Abs(strip[i].LateralMm) >= Math.Abs(lateralMm), strip.Count);
        if (after == 0 || after == strip.Count)
            return strip[after == 0 ? 0 : ^1].Pressure;
        var (a, b) = (strip[after - 1], strip[after]);
        var share = (lateralMm - a.LateralMm) / (b.LateralMm - a.LateralMm);
        if (double.IsNaN(a.Pressure) || double.IsNaN(b.Pressure))
            return share < .5 ? a.Pressure : b.Pressure;
        return double.Lerp(a.Pressure, b.Pressure, share);
    }
}
