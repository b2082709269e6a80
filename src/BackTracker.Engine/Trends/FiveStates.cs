namespace BackTracker.Engine.Trends;

/// <summary>Means and covariances of level L, rate S, bias of work B, cosine C and sine N of the year.</summary>
internal readonly record struct FiveStates(
    double L, double S, double B, double C, double N,
    double LL, double LS, double LB, double LC, double LN,
    double SS, double SB, double SC, double SN,
    double BB, double BC, double BN, double CC, double CN, double NN)
{
    public FiveStates After(in Transition t, double drivingVar)
    {
        var (a, e) = (t.LevelFromRate, t.RateDecay);
        return this with
        {
            L = L + a * S,
            S = e * S,
            LL = LL + a * (2 * LS + a * SS) + drivingVar * t.LevelVar,
            LS = e * (LS + a * SS) + drivingVar * t.LevelRateCov,
            LB = LB + a * SB,
            LC = LC + a * SC,
            LN = LN + a * SN,
            SS = e * e * SS + drivingVar * t.RateVar,
            SB = e * SB,
            SC = e * SC,
            SN = e * SN,
        };
    }

    public FiveStates Kicked(double var) => this with { SS = SS + var };

    /// <summary>Mean and variance of level plus season, without the bias of work.</summary>
    public (double Mean, double Var) LevelIn(Season season)
    {
        var (c, n) = season;
        var mean = L + c * C + n * N;
        var var = LL + 2 * (c * LC + n * LN) + c * c * CC + 2 * c * n * CN + n * n * NN;
        return (mean, Math.Max(var, 0));
    }

    /// <summary>Mean and variance of what is read on a day, the bias of work counted in with its share, without the error of measuring.</summary>
    public (double Mean, double Var) ReadingIn(Season season, double biasShare)
    {
        var ((mean, var), x) = (LevelIn(season), biasShare);
        return (mean + x * B, Math.Max(var + 2 * x * (LB + season.Cos * BC + season.Sin * BN) + x * x * BB, 0));
    }
}
