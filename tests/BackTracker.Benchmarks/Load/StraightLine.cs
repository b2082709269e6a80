namespace BackTracker.Benchmarks.Load;

/// <summary>The straight line through points by least squares.</summary>
/// <param name="Slope">What y gains for one of x.</param>
/// <param name="SlopeError">Its standard error, widened where neighbours err alike: what stands in memory now stood there ten seconds ago.</param>
internal readonly record struct StraightLine(double Slope, double SlopeError)
{
    public static StraightLine Through(IReadOnlyList<(double X, double Y)> points)
    {
        var (meanX, meanY) = (points.Average(point => point.X), points.Average(point => point.Y));
        var spread = points.Sum(point => Math.Pow(point.X - meanX, 2));
        var slope = points.Sum(point => (point.X - meanX) * (point.Y - meanY)) / spread;
        var rests = points.Select(point => point.Y - meanY - (slope * (point.X - meanX))).ToArray();
        var sum = rests.Sum(rest => rest * rest);
        if (sum == 0)
            return new(slope, 0);
        var alike = Math.Clamp(rests.Skip(1).Select((rest, i) => rest * rests[i]).Sum() / sum, 0, .9);
        return new(slope, Math.Sqrt(sum / (points.Count - 2) / spread * (1 + alike) / (1 - alike)));
    }
}
