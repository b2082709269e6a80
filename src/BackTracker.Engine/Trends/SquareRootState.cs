using BackTracker.Engine.Numerics;

namespace BackTracker.Engine.Trends;

/// <summary>
/// Mean and upper triangular root of the covariance (P = U'U) of level, rate, static biases and, once kept, a past level and rate.
/// </summary>
internal sealed class SquareRootState
{
    private const double LogTwoPi = 1.8378770664093453;

    private readonly LinearTrendSettings settings;
    private double[] mean;
    private double[,] root;
    private double day;
    private bool levelKnown;
    private int keptAt = -1;

    public SquareRootState(LinearTrendSettings settings, double day)
    {
        (this.settings, this.day) = (settings, day);
        levelKnown = double.IsFinite(settings.LevelVar);
        mean = [levelKnown ? settings.LevelMean : 0, 0, .. settings.Biases.Select(bias => bias.Mean)];
        root = new double[mean.Length, mean.Length];
        root[0, 0] = levelKnown ? Math.Sqrt(settings.LevelVar) : 0;
        root[1, 1] = Math.Sqrt(settings.RateVar);
        for (var i = 2; i < mean.Length; i++)
            root[i, i] = Math.Sqrt(settings.Biases[i - 2].Var);
    }

    public double LogLikelihood { get; private set; }

    public void Take(LinearObservation observation)
    {
        Propagate(observation.Day);
        var h = new double[mean.Length];
        h[0] = 1;
        for (var i = 0; i < observation.Design.Count; i++)
            h[2 + i] = observation.Design[i];
        if (levelKnown)
            Update(h, observation);
        else
            StartFlat(h, observation);
    }

    /// <summary>Goes to a day and keeps a copy of its level and rate, which later observations go on to inform.</summary>
    public void Keep(double on)
    {
        Propagate(on);
        keptAt = mean.Length;
        mean = [.. mean, mean[0], mean[1]];
        var wide = new double[keptAt, keptAt + 2];
        for (var i = 0; i < keptAt; i++)
        {
            for (var j = 0; j < keptAt; j++)
                wide[i, j] = root[i, j];
            (wide[i, keptAt], wide[i, keptAt + 1]) = (root[i, 0], root[i, 1]);
        }
        root = Orthogonal.Triangle(wide);
    }

    public LevelAndRate Kept(double on) => Kept(on, Transition.None, 0);

    /// <summary>The kept level and rate told backwards by some days.</summary>
    public LevelAndRate KeptBefore(double on, double days) =>
        Kept(on, Transition.Over(days, settings.TauDays).Backwards, settings.Sigma * settings.Sigma);

    private LevelAndRate Kept(double on, Transition t, double drivingVar)
    {
        var (level, rate) = (new double[mean.Length], new double[mean.Length]);
        (level[keptAt], level[keptAt + 1], rate[keptAt + 1]) = (1, t.LevelFromRate, t.RateDecay);
        var (u, v) = (Dense.Times(root, level), Dense.Times(root, rate));
        return new LevelAndRate(
            on,
            Dense.Dot(level, mean),
            Dense.Dot(rate, mean),
            Math.Sqrt(Dense.Dot(u, u) + drivingVar * t.LevelVar),
            Math.Sqrt(Dense.Dot(v, v) + drivingVar * t.RateVar),
            Dense.Dot(u, v) + drivingVar * t.LevelRateCov);
    }

    private void Propagate(double to)
    {
        if (!(to > day))
            return;
        var t = Transition.Over(to - day, settings.TauDays);
        day = to;
        (mean[0], mean[1]) = (mean[0] + t.LevelFromRate * mean[1], t.RateDecay * mean[1]);
        var size = mean.Length;
        var tall = new double[size + 2, size];
        for (var i = 0; i < size; i++)
        {
            for (var j = 0; j < size; j++)
                tall[i, j] = root[i, j];
            (tall[i, 0], tall[i, 1]) = (root[i, 0] + t.LevelFromRate * root[i, 1], t.RateDecay * root[i, 1]);
        }
        var levelSd = Math.Sqrt(t.LevelVar);
        var shared = levelSd > 0 ? t.LevelRateCov / levelSd : 0;
        tall[size, 0] = settings.Sigma * levelSd;
        tall[size, 1] = settings.Sigma * shared;
        tall[size + 1, 1] = settings.Sigma * Math.Sqrt(Math.Max(t.RateVar - shared * shared, 0));
        root = Orthogonal.Triangle(tall);
    }

    private void Update(double[] h, LinearObservation observation)
    {
        var size = mean.Length;
        var array = new double[size + 1, size + 1];
        array[0, 0] = Math.Sqrt(observation.NoiseVar);
        var spread = Dense.Times(root, h);
        for (var i = 0; i < size; i++)
        {
            array[i + 1, 0] = spread[i];
            for (var j = 0; j < size; j++)
                array[i + 1, j + 1] = root[i, j];
        }
        array = Orthogonal.Triangle(array);
        var sd = array[0, 0];
        if (sd == 0)
            throw new ArgumentException("An observation is certain beforehand: it has neither noise nor anything left to learn.", nameof(observation));
        var miss = (observation.Value - Dense.Dot(h, mean)) / sd;
        for (var i = 0; i < size; i++)
            mean[i] += array[0, i + 1] * miss;
        LogLikelihood -= .5 * (LogTwoPi + miss * miss) + Math.Log(Math.Abs(sd));
        for (var i = 0; i < size; i++)
            for (var j = 0; j < size; j++)
                root[i, j] = array[i + 1, j + 1];
    }

    // The first observation shifts the level, and a level kept before it, to where it sits; its own doubt becomes theirs.
    private void StartFlat(double[] h, LinearObservation observation)
    {
        levelKnown = true;
        var size = mean.Length;
        var tall = new double[size + 1, size];
        var (spread, miss) = (Dense.Times(root, h), observation.Value - Dense.Dot(h, mean));
        for (var i = 0; i < size; i++)
            for (var j = 0; j < size; j++)
                tall[i, j] = root[i, j];
        int[] levels = keptAt < 0 ? [0] : [0, keptAt];
        foreach (var level in levels)
        {
            mean[level] += miss;
            for (var i = 0; i < size; i++)
                tall[i, level] -= spread[i];
            tall[size, level] = Math.Sqrt(observation.NoiseVar);
        }
        root = Orthogonal.Triangle(tall);
    }
}
