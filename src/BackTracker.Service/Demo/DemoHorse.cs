namespace BackTracker.Service.Demo;

/// <summary>How an invented back is measured.</summary>
internal enum DemoMethod
{
    Traces,
    Widths,
}

/// <summary>How an invented tree is known.</summary>
internal enum DemoTreeBy
{
    Sides,
    Widths,
}

/// <summary>A phase of an invented horse, in days from today.</summary>
/// <param name="From">First day.</param>
/// <param name="Phase">The phase.</param>
internal sealed record DemoPhase(int From, string Phase);

/// <summary>A dated event of an invented horse.</summary>
/// <param name="On">Its day.</param>
/// <param name="Kind">What happened.</param>
/// <param name="Note">In a yard manager's words.</param>
internal sealed record DemoEvent(int On, string Kind, string Note);

/// <summary>Something seen on an invented horse.</summary>
/// <param name="On">The day.</param>
/// <param name="Kind">What.</param>
/// <param name="Note">In a yard manager's words.</param>
/// <param name="VetOn">Day of the vet's outcome; null where there is none.</param>
internal sealed record DemoSign(int On, string Kind, string Note, int? VetOn);

/// <summary>A saddle of an invented horse. Horses that name the same one share it.</summary>
/// <param name="Label">What the yard calls it.</param>
/// <param name="WeeklyMinutes">Ridden in it.</param>
internal sealed record DemoSaddle(string Label, int WeeklyMinutes = 240)
{
    /// <summary>How its tree is known.</summary>
    public DemoTreeBy TreeBy { get; init; } = DemoTreeBy.Sides;

    /// <summary>First day it is used, fitted to the back of that day.</summary>
    public int From { get; init; } = DemoHerd.FirstDay;
}

/// <summary>An invented horse.</summary>
internal sealed record DemoHorse(string Name, string Sex, string Breed, int AgeYears, IReadOnlyList<DemoSaddle> Saddles, DemoBack Back)
{
    public IReadOnlyList<DemoPhase> Phases { get; init; } = [];

    public IReadOnlyList<DemoEvent> Events { get; init; } = [];

    public IReadOnlyList<DemoSign> Signs { get; init; } = [];

    public DemoMethod Measured { get; init; } = DemoMethod.Traces;

    /// <summary>Whether midline and level line are marked on its traces.</summary>
    public bool MarksPaper { get; init; }

    /// <summary>The spine is traced in every such session; 0 where nobody does.</summary>
    public int ToplineEvery { get; init; } = 2;

    public double RiderKg { get; init; } = 58;

    /// <summary>Days between measurements.</summary>
    public int MeasureEvery { get; init; } = 28;

    /// <summary>A day on which it is measured again, because the service called a value unexpected.</summary>
    public int? MeasuredAgainOn { get; init; }

    /// <summary>Nobody measures it after this day.</summary>
    public int LastMeasured { get; init; }

    /// <summary>The yard books nothing for it from the first to before the second of these days.</summary>
    public (int From, int To) Unbooked { get; init; }

    /// <summary>Day on which a trace goes wrong and is taken again.</summary>
    public int? BadTraceOn { get; init; }

    /// <summary>Day it is retired.</summary>
    public int? RetiredOn { get; init; }

    /// <summary>Whether it is measured on a day: everybody when the saddles were fitted, then each on days of its own.</summary>
    /// <param name="day">The day.</param>
    /// <param name="shift">So that not every horse is measured on the same day.</param>
    public bool IsMeasuredOn(int day, int shift) =>
        day <= LastMeasured && (day == DemoHerd.FirstDay || (day - DemoHerd.FirstDay + shift) % MeasureEvery == 0 || BadTraceOn == day || MeasuredAgainOn == day);

    public bool IsBookedOn(int day) => day < Unbooked.From || day >= Unbooked.To;

    /// <summary>Whether a vet must look before anything else on a day.</summary>
    public bool WaitsForVet(int day) => Signs.Any(sign => sign.VetOn is { } vet && sign.On <= day && vet > day);
}
