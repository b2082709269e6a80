using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace BackTracker.Engine.Trends;

/// <summary>Variances that a step and a kink would have added to level and rate by now.</summary>
internal readonly struct SurpriseShape
{
    public SurpriseShape(in SurpriseModel surprises, double days)
    {
        StepLL = surprises.Step.Var;
        KinkSS = surprises.Kink.Var;
        KinkLS = KinkSS * days / 2;
        KinkLL = KinkSS * days * days / 3;
    }

    public double StepLL { get; }

    public double KinkLL { get; }

    public double KinkLS { get; }

    public double KinkSS { get; }
}

/// <summary>Sums over the components: probability w, mean gain sum w v/F, and curvature sum w ((v/F)^2 - 1/F).</summary>
internal readonly struct LaneSums
{
    public required Lanes Gain { get; init; }

    public required Lanes Curve { get; init; }

    public required Lanes Step { get; init; }

    public required Lanes StepGain { get; init; }

    public required Lanes StepCurve { get; init; }

    public required Lanes Kink { get; init; }

    public required Lanes KinkGain { get; init; }

    public required Lanes KinkCurve { get; init; }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static LaneSums Of(Lanes spread, Lanes miss, in SurpriseShape shape, in SurpriseModel surprises, out LaneVerdict verdict)
    {
        var normal = new LanePart(spread, miss);
        var outlier = new LanePart(spread + Vector256.Create(surprises.Outlier.Var), miss);
        var step = new LanePart(spread + Vector256.Create(shape.StepLL), miss);
        var kink = new LanePart(spread + Vector256.Create(shape.KinkLL), miss);
        var top = Vector256.Max(Vector256.Max(normal.Exponent, outlier.Exponent), Vector256.Max(step.Exponent, kink.Exponent));
        var wn = normal.Density(surprises.NormalProbability, top);
        var wo = outlier.Density(surprises.Outlier.Probability, top);
        var ws = step.Density(surprises.Step.Probability, top);
        var wk = kink.Density(surprises.Kink.Probability, top);
        var total = wn + wo + ws + wk;
        var share = Lanes.One / total;
        (wn, wo, ws, wk) = (wn * share, wo * share, ws * share, wk * share);
        verdict = new LaneVerdict(wo, ws, wk, top + Vector256.Log(total));
        var (stepGain, kinkGain) = (ws * step.Gain, wk * kink.Gain);
        var (stepCurve, kinkCurve) = (ws * step.Curve, wk * kink.Curve);
        return new LaneSums
        {
            Gain = wn * normal.Gain + wo * outlier.Gain + stepGain + kinkGain,
            Curve = wn * normal.Curve + wo * outlier.Curve + stepCurve + kinkCurve,
            Step = ws,
            StepGain = stepGain,
            StepCurve = stepCurve,
            Kink = wk,
            KinkGain = kinkGain,
            KinkCurve = kinkCurve,
        };
    }
}

/// <summary>One component of the mixture at one observation.</summary>
internal readonly struct LanePart
{
    private readonly Lanes inverse;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public LanePart(Lanes spread, Lanes miss)
    {
        inverse = Lanes.One / spread;
        Gain = miss * inverse;
        Exponent = Gain * miss * -.5;
    }

    public Lanes Gain { get; }

    public Lanes Exponent { get; }

    public Lanes Curve => Gain * Gain - inverse;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public Lanes Density(double probability, Lanes top) => Vector256.Sqrt(inverse) * Vector256.Exp(Exponent - top) * probability;
}
