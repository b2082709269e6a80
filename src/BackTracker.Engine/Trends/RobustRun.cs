using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Trends;

/// <summary>The state of the general robust filter while it runs.</summary>
internal sealed class RobustRun
{
    private const double LogTwoPi = 1.8378770664093453;

    private readonly RobustSettings settings;
    private bool levelKnown;
    private double? day;
    private double stopDay;

    public RobustRun(RobustSettings settings)
    {
        this.settings = settings;
        Mean = new double[settings.Size];
        Cov = new double[settings.Size, settings.Size];
        levelKnown = double.IsFinite(settings.LevelVar);
        (Mean[0], Cov[0, 0]) = levelKnown ? (settings.LevelMean, settings.LevelVar) : (0, 0);
        Cov[1, 1] = settings.RateVar;
        for (var i = 2; i < settings.Size; i++)
            Cov[i, i] = settings.StaticVars[i - 2];
    }

    public double[] Mean { get; private set; }

    public double[,] Cov { get; private set; }

    public double LogLikelihood { get; private set; }

    public List<RobustStep> Steps { get; } = [];

    public void Take(Visit visit)
    {
        var a = Propagate(visit.Day);
        var (predictedMean, predictedCov, surprises) = (Mean, Cov, default(SurpriseProbabilities));
        if (visit.Change is { } change)
        {
            Kick(change);
            (predictedMean, predictedCov) = (Mean, Cov);
        }
        else if (visit.Observation is { } observation)
        {
            surprises = levelKnown ? Update(observation) : StartFlat(observation);
            predictedCov = WithSurprises(predictedCov, surprises, visit.Day - stopDay);
        }
        if (visit.Change is not null || visit.Observation is not null)
            stopDay = visit.Day;
        Steps.Add(new RobustStep(visit.Day, a, predictedMean, predictedCov, Mean, Cov, surprises));
    }

    private double[,] Propagate(double to)
    {
        var days = to - (day ?? (stopDay = to));
        day = to;
        var t = days > 0 ? Transition.Over(days, settings.TauDays) : Transition.None;
        var a = RobustPass.TransitionMatrix(settings.Size, t);
        Mean = Dense.Times(a, Mean);
        Cov = Dense.Sandwich(a, Cov);
        RobustPass.AddNoise(Cov, settings, t, days);
        return a;
    }

    private void Kick(RateChange change)
    {
        (Mean, Cov) = ([.. Mean], (double[,])Cov.Clone());
        Mean[1] += change.Mean;
        Cov[1, 1] += change.Sd * change.Sd;
    }

    // The limit of an ever wider level prior: all components are equally dense, so the surprises keep their prior probabilities.
    private SurpriseProbabilities StartFlat(RobustObservation first)
    {
        levelKnown = true;
        var (mean, cov, h) = (Mean.ToArray(), (double[,])Cov.Clone(), Row(first));
        h[0] = 0;
        var spread = Dense.Times(cov, h);
        mean[0] = first.Value - Dense.Dot(h, mean);
        for (var i = 0; i < h.Length; i++)
            cov[0, i] = cov[i, 0] = -spread[i];
        cov[0, 0] = Dense.Dot(h, spread) + first.NoiseVar + settings.Surprises.Outlier.Probability * settings.Surprises.Outlier.Var;
        cov[1, 1] += settings.Surprises.Kink.Probability * settings.Surprises.Kink.Var;
        (Mean, Cov) = (mean, cov);
        var surprises = settings.Surprises;
        return new SurpriseProbabilities(surprises.Outlier.Probability, surprises.Step.Probability, surprises.Kink.Probability);
    }

    private SurpriseProbabilities Update(RobustObservation observation)
    {
        var h = Row(observation);
        var miss = observation.Value - Dense.Dot(h, Mean);
        var shape = new SurpriseShape(settings.Surprises, (day ?? 0) - stopDay);
        var (outlier, step, kink) = (settings.Surprises.Outlier, settings.Surprises.Step, settings.Surprises.Kink);
        var normal = Component(settings.Surprises.NormalProbability, Cov, observation.NoiseVar, h, miss);
        var parts = new[]
        {
            normal,
            Component(outlier.Probability, Cov, observation.NoiseVar + outlier.Var, h, miss),
            Component(step.Probability, Widened(Cov, shape, 1, 0), observation.NoiseVar, h, miss),
            Component(kink.Probability, Widened(Cov, shape, 0, 1), observation.NoiseVar, h, miss),
        };
        var weights = Collapse(parts);
        return new SurpriseProbabilities(weights[1], weights[2], weights[3]);
    }

    private double[] Collapse(Part[] parts)
    {
        var top = parts.Max(part => part.LogWeight);
        var total = parts.Sum(part => Math.Exp(part.LogWeight - top));
        LogLikelihood += top + Math.Log(total);
        var weights = parts.Select(part => Math.Exp(part.LogWeight - top) / total).ToArray();
        var (mean, cov) = (new double[Mean.Length], new double[Mean.Length, Mean.Length]);
        for (var c = 0; c < parts.Length; c++)
            for (var i = 0; i < mean.Length; i++)
                mean[i] += weights[c] * parts[c].Mean[i];
        for (var c = 0; c < parts.Length; c++)
        {
            Dense.Add(cov, weights[c], parts[c].Cov);
            Dense.AddOuter(cov, weights[c], parts[c].Mean.Zip(mean, (part, all) => part - all).ToArray());
        }
        (Mean, Cov) = (mean, cov);
        return weights;
    }

    private Part Component(double probability, double[,] cov, double noiseVar, double[] h, double miss)
    {
        if (probability == 0)
            return new Part(double.NegativeInfinity, Mean, cov);
        var m = Dense.Times(cov, h);
        var spread = Dense.Dot(h, m) + noiseVar;
        if (!(spread > 0))
            throw new ArgumentException("An observation is certain beforehand: it has neither noise nor anything left to learn.", nameof(noiseVar));
        var gain = m.Select(value => value / spread).ToArray();
        var mean = Mean.Zip(gain, (before, g) => before + g * miss).ToArray();
        var keep = Dense.Identity(h.Length);
        for (var i = 0; i < h.Length; i++)
            for (var j = 0; j < h.Length; j++)
                keep[i, j] -= gain[i] * h[j];
        var joseph = Dense.Sandwich(keep, cov);
        Dense.AddOuter(joseph, noiseVar, gain);
        return new Part(Math.Log(probability) - .5 * (LogTwoPi + Math.Log(spread) + miss * miss / spread), mean, joseph);
    }

    private double[,] WithSurprises(double[,] cov, SurpriseProbabilities surprises, double days) =>
        Widened(cov, new SurpriseShape(settings.Surprises, days), surprises.Step, surprises.Kink);

    private static double[,] Widened(double[,] cov, SurpriseShape shape, double step, double kink)
    {
        var wide = (double[,])cov.Clone();
        wide[0, 0] += step * shape.StepLL + kink * shape.KinkLL;
        wide[0, 1] += kink * shape.KinkLS;
        wide[1, 0] += kink * shape.KinkLS;
        wide[1, 1] += kink * shape.KinkSS;
        return wide;
    }

    private static double[] Row(RobustObservation observation) => [1, 0, .. observation.Design];

    private readonly record struct Part(double LogWeight, double[] Mean, double[,] Cov);
}
