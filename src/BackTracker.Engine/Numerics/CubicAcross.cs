namespace BackTracker.Engine.Numerics;

/// <summary>
/// A monotone cubic (<see cref="MonotoneCubic"/>) asked at one place for many sets of values over the same knots: what hangs on the knots
/// alone is worked out once.
/// </summary>
internal readonly struct CubicAcross
{
    private readonly int knots;
    private readonly int before;
    private readonly double offset;
    private readonly double step;
    private readonly double perStep;
    private readonly Neighbour ahead;
    private readonly Neighbour behind;

    /// <param name="x">Two to four knots, strictly increasing: the interval and its neighbours.</param>
    /// <param name="before">Which knot begins the interval.</param>
    /// <param name="at">The place, within the interval.</param>
    public CubicAcross(ReadOnlySpan<double> x, int before, double at)
    {
        (knots, this.before, offset) = (x.Length, before, at - x[before]);
        step = x[before + 1] - x[before];
        perStep = 1 / step;
        behind = before > 0 ? new Neighbour(x[before] - x[before - 1], step) : default;
        ahead = before + 2 < x.Length ? new Neighbour(x[before + 2] - x[before + 1], step) : default;
    }

    /// <summary>The value at the place for values at the knots.</summary>
    public double At(ReadOnlySpan<double> y)
    {
        var slope = (y[before + 1] - y[before]) * perStep;
        if (knots == 2)
            return y[before] + (offset * slope);
        var slopeBehind = before > 0 ? (y[before] - y[before - 1]) * behind.PerStep : 0;
        var slopeAhead = before + 2 < knots ? (y[before + 2] - y[before + 1]) * ahead.PerStep : 0;
        var start = before > 0 ? behind.Inner(slopeBehind, slope) : ahead.End(slope, slopeAhead);
        var end = before + 2 < knots ? ahead.Inner(slopeAhead, slope) : behind.End(slope, slopeBehind);
        return y[before] + (offset * (start + (offset * perStep * ((3 * slope) - (2 * start) - end + (offset * perStep * (start + end - (2 * slope)))))));
    }

    /// <summary>An interval beside the one asked in.</summary>
    private readonly struct Neighbour(double step, double own)
    {
        private readonly double weightOfNeighbour = (2 * own) + step;
        private readonly double weightOfOwn = own + (2 * step);
        private readonly double both = own + step;

        public double PerStep { get; } = 1 / step;

        /// <summary>Slope at the knot between the two.</summary>
        public double Inner(double neighbour, double slope) => neighbour * slope <= 0
            ? 0
            : (weightOfNeighbour + weightOfOwn) * neighbour * slope / ((weightOfNeighbour * slope) + (weightOfOwn * neighbour));

        /// <summary>Slope at the far end of the interval asked in, which is an end of the curve.</summary>
        public double End(double slope, double neighbour)
        {
            var end = ((((2 * own) + step) * slope) - (own * neighbour)) / both;
            if (Math.Sign(end) != Math.Sign(slope))
                return 0;
            return Math.Sign(slope) != Math.Sign(neighbour) && Math.Abs(end) > 3 * Math.Abs(slope) ? 3 * slope : end;
        }
    }
}
