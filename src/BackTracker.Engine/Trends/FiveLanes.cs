using System.Runtime.Intrinsics;
using Lanes = System.Runtime.Intrinsics.Vector256<double>;

namespace BackTracker.Engine.Trends;

/// <summary>What the observation of a stop says, the same for every lane.</summary>
internal readonly record struct Sighting(double Value, double NoiseVar, double BiasShare, Season Season, double DaysSinceStop);

/// <summary>Probabilities of the surprises at an observation, and the log density of the observation without -log(2 pi)/2.</summary>
internal readonly record struct LaneVerdict(Lanes Outlier, Lanes Step, Lanes Kink, Lanes LogDensity);

/// <summary>
/// Means and covariances of level L, rate S, bias of work B, cosine C and sine N for four grid points at once; the points share their
/// memory. Plain covariance form: the noise is never below a nine-hundredth of the level prior's variance, which costs three digits at most
/// (the general filter is in Joseph form and the two are held against each other).
/// </summary>
internal struct FiveLanes
{
    public Lanes L, S, B, C, N;
    public Lanes LL, LS, LB, LC, LN, SS, SB, SC, SN, BB, BC, BN, CC, CN, NN;

    public static FiveLanes Prior(GridModel model, Lanes rateSd) => new()
    {
        L = Vector256.Create(model.LevelMean),
        LL = Vector256.Create(model.LevelSd * model.LevelSd),
        SS = rateSd * rateSd,
        BB = Vector256.Create(model.BiasSd * model.BiasSd),
        CC = Vector256.Create(model.SeasonSd * model.SeasonSd),
        NN = Vector256.Create(model.SeasonSd * model.SeasonSd),
    };

    public void Propagate(in Transition t, Lanes drivingVar)
    {
        var (a, e) = (t.LevelFromRate, t.RateDecay);
        L += S * a;
        LL += (LS + LS + SS * a) * a + drivingVar * t.LevelVar;
        LS = (LS + SS * a) * e + drivingVar * t.LevelRateCov;
        LB += SB * a;
        LC += SC * a;
        LN += SN * a;
        S *= e;
        SS = SS * (e * e) + drivingVar * t.RateVar;
        SB *= e;
        SC *= e;
        SN *= e;
    }

    public void Kick(double var) => SS += Vector256.Create(var);

    /// <summary>
    /// Mixture update collapsed to one Gaussian by its moments. Every component's gain is M + its own part in level and rate, so the moments
    /// are those of M with a few sums instead of four full updates.
    /// </summary>
    public LaneVerdict Update(in Sighting seen, Lanes sessionVar, in SurpriseModel surprises)
    {
        var (x, c, n) = (seen.BiasShare, seen.Season.Cos, seen.Season.Sin);
        var ml = LL + LB * x + LC * c + LN * n;
        var ms = LS + SB * x + SC * c + SN * n;
        var mb = LB + BB * x + BC * c + BN * n;
        var mc = LC + BC * x + CC * c + CN * n;
        var mn = LN + BN * x + CN * c + NN * n;
        var spread = ml + mb * x + mc * c + mn * n + sessionVar + Vector256.Create(seen.NoiseVar);
        var miss = Vector256.Create(seen.Value) - (L + B * x + C * c + N * n);
        var shape = new SurpriseShape(surprises, seen.DaysSinceStop);
        var sums = LaneSums.Of(spread, miss, shape, surprises, out var verdict);
        Absorb(ml, ms, mb, mc, mn, shape, sums);
        return verdict;
    }

    private void Absorb(Lanes ml, Lanes ms, Lanes mb, Lanes mc, Lanes mn, in SurpriseShape shape, in LaneSums sums)
    {
        var (curve, gain) = (sums.Curve, sums.Gain);
        var intoLevel = sums.StepCurve * shape.StepLL + sums.KinkCurve * shape.KinkLL;
        var intoRate = sums.KinkCurve * shape.KinkLS;
        var dl = gain * ml + sums.StepGain * shape.StepLL + sums.KinkGain * shape.KinkLL;
        var ds = gain * ms + sums.KinkGain * shape.KinkLS;
        var (db, dc, dn) = (gain * mb, gain * mc, gain * mn);
        LL += sums.Step * shape.StepLL + sums.Kink * shape.KinkLL + curve * ml * ml + intoLevel * (ml + ml)
            + sums.StepCurve * (shape.StepLL * shape.StepLL) + sums.KinkCurve * (shape.KinkLL * shape.KinkLL) - dl * dl;
        LS += sums.Kink * shape.KinkLS + curve * ml * ms + intoLevel * ms + intoRate * ml + intoRate * shape.KinkLL - dl * ds;
        SS += sums.Kink * shape.KinkSS + curve * ms * ms + intoRate * (ms + ms) + intoRate * shape.KinkLS - ds * ds;
        var (leadL, leadS) = (curve * ml + intoLevel, curve * ms + intoRate);
        LB += leadL * mb - dl * db;
        LC += leadL * mc - dl * dc;
        LN += leadL * mn - dl * dn;
        SB += leadS * mb - ds * db;
        SC += leadS * mc - ds * dc;
        SN += leadS * mn - ds * dn;
        AbsorbStatic(mb, mc, mn, curve - gain * gain);
        (L, S, B, C, N) = (L + dl, S + ds, B + db, C + dc, N + dn);
    }

    private void AbsorbStatic(Lanes mb, Lanes mc, Lanes mn, Lanes curve)
    {
        BB += curve * mb * mb;
        BC += curve * mb * mc;
        BN += curve * mb * mn;
        CC += curve * mc * mc;
        CN += curve * mc * mn;
        NN += curve * mn * mn;
    }

    /// <summary>Mean and variance of level plus season, without the bias of work.</summary>
    public readonly (Lanes Mean, Lanes Var) LevelIn(Season season)
    {
        var (c, n) = season;
        var var = LL + (LC * c + LN * n) * 2 + CC * (c * c) + CN * (2 * c * n) + NN * (n * n);
        return (L + C * c + N * n, Vector256.Max(var, Lanes.Zero));
    }

    public readonly FiveStates Lane(int i) => new(
        L[i], S[i], B[i], C[i], N[i],
        LL[i], LS[i], LB[i], LC[i], LN[i], SS[i], SB[i], SC[i], SN[i], BB[i], BC[i], BN[i], CC[i], CN[i], NN[i]);
}
