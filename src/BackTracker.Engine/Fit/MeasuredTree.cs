using BackTracker.Engine.Trends;

namespace BackTracker.Engine.Fit;

/// <summary>
/// Probabilities against a tree that was itself measured with an error: the forecast of the back is averaged over a normal error of the
/// tree by Gauss-Hermite quadrature (nodes and weights of order 7: Abramowitz and Stegun 1964, table 25.10).
/// </summary>
internal static class MeasuredTree
{
    private static readonly double[] Nodes = [-2.651961356835233, -1.673551628767471, -.8162878828589647, 0, .8162878828589647, 1.673551628767471, 2.651961356835233];

    private static readonly double[] Weights = [.0009717812450995192, .05451558281912703, .4256072526101278, .8102646175568073, .4256072526101278, .05451558281912703, .0009717812450995192];

    /// <summary>Probability that the tree is too narrow and that it is too wide by more than the out limits.</summary>
    public static (double Narrow, double Wide) OutProbabilities(LevelForecast back, double treeWidthMm, WidthTolerances limits, double treeSdMm)
    {
        double narrow = 0, wide = 0;
        for (var i = 0; i < Nodes.Length; i++)
        {
            var tree = treeWidthMm + (Math.Sqrt(2) * treeSdMm * Nodes[i]);
            var weight = Weights[i] / Math.Sqrt(Math.PI);
            narrow += weight * back.ProbabilityAbove(tree + limits.OutNarrowMm);
            wide += weight * back.ProbabilityBelow(tree - limits.OutWideMm);
        }
        return (Math.Clamp(narrow, 0, 1), Math.Clamp(wide, 0, 1));
    }
}
