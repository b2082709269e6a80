namespace BackTracker.Service.Demo;

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

/// <summary>An invented horse.</summary>
internal sealed record DemoHorse(string Name, string Sex, string Breed, int AgeYears, string Saddle, DemoBack Back)
{
    public IReadOnlyList<DemoPhase> Phases { get; init; } = [];

    public IReadOnlyList<DemoEvent> Events { get; init; } = [];

    public IReadOnlyList<DemoSign> Signs { get; init; } = [];

    /// <summary>Days between measurements.</summary>
    public int MeasureEvery { get; init; } = 28;

    /// <summary>Nobody measures it after this day.</summary>
    public int LastMeasured { get; init; }

    /// <summary>The yard forgets to book for it after this day.</summary>
    public int LastBooked { get; init; }

    /// <summary>Day on which a trace goes wrong and is taken again.</summary>
    public int? BadTraceOn { get; init; }

    /// <summary>Day it is retired.</summary>
    public int? RetiredOn { get; init; }
}

/// <summary>Larkfield and the smaller yard down the valley. All names and numbers are invented.</summary>
internal static class DemoHerd
{
    public const int FirstDay = -560;

    public static IReadOnlyList<DemoHorse> Larkfield { get; } =
    [
        new("Bracken", "mare", "endurance", 9, "Bracken's endurance saddle", new(304, [DemoChange.Building(-150, 24, 90), DemoChange.Season(1.5, -120)]))
        {
            Phases = [new(FirstDay, "steady"), new(-150, "building")],
        },
        new("Sorrel Lad", "gelding", "endurance", 12, "Sorrel Lad's endurance saddle", new(312, [DemoChange.Season(2.5, -110)]))
        {
            Phases = [new(FirstDay, "conditioning"), new(-420, "competing"), new(-230, "letting-down"), new(-180, "conditioning"), new(-90, "competing")],
        },
        new("Juniper", "mare", "endurance", 10, "Juniper's endurance saddle", new(309, [DemoChange.LayOff(-210, -120, 15), DemoChange.Season(1.5, -130)]))
        {
            Phases = [new(FirstDay, "conditioning"), new(-210, "rest"), new(-120, "rehabilitation"), new(-60, "conditioning")],
            Events = [new(-210, "lay-off", "Tendon strain, box rest then the small field."), new(-120, "start-of-work", "Walking out in hand, then ridden.")],
        },
        new("Tansy", "mare", "native cob", 14, "Cob saddle", new(334, [DemoChange.Season(6, -140)]))
        {
            Phases = [new(FirstDay, "steady")],
        },
        new("Moss", "gelding", "native cob", 11, "Cob saddle", new(336, [DemoChange.Season(2, -150)]))
        {
            Phases = [new(FirstDay, "steady")],
        },
        new("Teasel", "gelding", "native cob", 8, "Teasel's saddle", new(328, [DemoChange.Season(2, -120)], day => day < -100 ? 2 : 2 + 12 * (1 - Math.Exp(-(day + 100) / 40.0))))
        {
            Phases = [new(FirstDay, "steady")],
            BadTraceOn = -164,
        },
        new("Pewter", "gelding", "endurance", 13, "Pewter's endurance saddle", new(307, [DemoChange.Season(2, -120), DemoChange.Building(-400, 7, 120)]))
        {
            Phases = [new(FirstDay, "steady"), new(-400, "conditioning"), new(-250, "competing")],
            Signs = [new(-196, "heat", "Warm patch behind the left shoulder blade after a long ride.", -193)],
        },
        new("Harebell", "mare", "endurance youngster", 4, "Harebell's saddle", new(286, [DemoChange.Building(FirstDay, 24, 330)]))
        {
            Phases = [new(FirstDay, "rest"), new(-300, "backing"), new(-180, "conditioning")],
            Events = [new(-300, "start-of-work", "Long-reined, then backed.")],
        },
        new("Fen", "gelding", "native cob youngster", 3, "Fen's saddle", new(300, [DemoChange.Building(FirstDay, 32, 420)]))
        {
            Phases = [new(FirstDay, "rest"), new(-75, "backing")],
            Events = [new(-75, "start-of-work", "First time with a saddle, in hand.")],
            MeasureEvery = 42,
        },
        new("Rowan", "gelding", "native cob", 16, "Rowan's saddle", new(326, [DemoChange.Season(3, -100), DemoChange.LayOff(-130, 0, 11)]))
        {
            Phases = [new(FirstDay, "steady"), new(-130, "letting-down")],
            LastMeasured = -62,
            LastBooked = -120,
        },
        new("Sedge", "mare", "endurance", 7, "Sedge's endurance saddle", new(303, [DemoChange.Building(-240, 8, 100), DemoChange.Season(1.5, -110)]))
        {
            Phases = [new(FirstDay, "steady"), new(-240, "conditioning")],
            Signs = [new(-2, "dry-patch", "Hand-sized dry patch under the rear of the right panel, ringed by sweat.", null)],
        },
    ];

    public static IReadOnlyList<DemoHorse> MillBottom { get; } =
    [
        new("Curlew", "mare", "endurance", 11, "Curlew's endurance saddle", new(308, [DemoChange.Season(2, -120)])) { Phases = [new(FirstDay, "steady")] },
        new("Lapwing", "gelding", "native cob", 9, "Lapwing's saddle", new(330, [DemoChange.Building(-110, 15, 70)]))
        {
            Phases = [new(FirstDay, "steady"), new(-110, "building")],
        },
        new("Plover", "gelding", "endurance", 21, "Plover's old saddle", new(305, [DemoChange.LayOff(-260, 0, 14)]))
        {
            Phases = [new(FirstDay, "steady"), new(-260, "letting-down")],
            RetiredOn = -190,
            LastMeasured = -200,
        },
    ];
}
