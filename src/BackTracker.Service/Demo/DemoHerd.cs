namespace BackTracker.Service.Demo;

/// <summary>Larkfield and the smaller yard down the valley. All names and numbers are invented.</summary>
internal static class DemoHerd
{
    public const int FirstDay = -560;
    private const double Lean = 1.75;
    private const double Round = 1.95;

    public static IReadOnlyList<DemoHorse> Larkfield { get; } =
    [
        // Widens in training while nobody is booked: a re-fit.
        new("Bracken", "mare", "endurance", 9, [new("Bracken's endurance saddle")], new(304, Lean, [DemoChange.Building(-190, 36, 60), DemoChange.Season(1.5, -120)]))
        {
            Phases = [new(FirstDay, "steady"), new(-190, "building")],
            Unbooked = (-190, -104),
        },
        // Its topline drops at once: the saddle bridges and is re-flocked.
        new("Sorrel Lad", "gelding", "endurance", 12, [new("Sorrel Lad's endurance saddle", 300)], new(312, Lean, [DemoChange.Building(-228, -4, 15)]) { Sagging = [DemoChange.Building(-228, 9.4, 6)] })
        {
            Phases = [new(FirstDay, "conditioning"), new(-420, "competing"), new(-260, "steady")],
            Events = [new(-228, "other", "Teeth: ate little for ten days and fell away over the loins. Seen to.")],
            MeasuredAgainOn = -200,
            ToplineEvery = 1,
            RiderKg = 61,
        },
        new("Juniper", "mare", "endurance", 10, [new("Juniper's endurance saddle"), new("Juniper's schooling saddle", 60) { TreeBy = DemoTreeBy.Widths }], new(309, Lean, [DemoChange.LayOff(-210, -120, 22), DemoChange.Season(1.5, -130)]))
        {
            Phases = [new(FirstDay, "conditioning"), new(-210, "rest"), new(-120, "rehabilitation"), new(-60, "conditioning")],
            Events = [new(-210, "lay-off", "Tendon strain, box rest then the small field."), new(-120, "start-of-work", "Walking out in hand, then ridden.")],
        },
        new("Tansy", "mare", "native cob", 14, [new("Cob saddle", 150)], new(334, Round, [DemoChange.Season(8, -140)])) { Phases = [new(FirstDay, "steady")], RiderKg = 72 },
        new("Moss", "gelding", "native cob", 11, [new("Cob saddle", 150)], new(335, Round, [DemoChange.Season(3, -150)])) { Phases = [new(FirstDay, "steady")], RiderKg = 72 },
        new("Teasel", "gelding", "native cob", 8, [new("Teasel's saddle")], new(328, Round, [DemoChange.Season(2, -120)]) { RightLarger = DemoChange.Building(-110, 14, 45) })
        {
            Phases = [new(FirstDay, "steady")],
            MarksPaper = true,
            BadTraceOn = -164,
        },
        new("Pewter", "gelding", "endurance", 13, [new("Pewter's endurance saddle")], new(307, Lean, [DemoChange.Season(2, -120), DemoChange.Building(-400, 7, 120)]))
        {
            Phases = [new(FirstDay, "steady"), new(-400, "conditioning"), new(-250, "competing")],
            Signs = [new(-196, "heat", "Warm patch behind the left shoulder blade after a long ride.", -193)],
        },
        new("Harebell", "mare", "endurance youngster", 4, [new("Harebell's saddle", 90) { From = -300 }], new(284, Lean, [DemoChange.Building(FirstDay, 44, 420)]))
        {
            Phases = [new(FirstDay, "rest"), new(-300, "backing"), new(-180, "conditioning")],
            Events = [new(-300, "start-of-work", "Long-reined, then backed.")],
            RiderKg = 52,
        },
        new("Fen", "gelding", "native cob youngster", 3, [new("Fen's saddle", 60) { From = -75 }], new(300, Round, [DemoChange.Building(FirstDay, 46, 420)]))
        {
            Phases = [new(FirstDay, "rest"), new(-75, "backing")],
            Events = [new(-75, "start-of-work", "First time with a saddle, in hand.")],
            MeasureEvery = 42,
            RiderKg = 50,
        },
        // Forgotten: not measured any more, and its check is overdue.
        new("Rowan", "gelding", "native cob", 16, [new("Rowan's saddle") { TreeBy = DemoTreeBy.Widths }], new(326, Round, [DemoChange.Season(3, -100), DemoChange.LayOff(-130, 0, 11)]))
        {
            Phases = [new(FirstDay, "steady"), new(-130, "letting-down")],
            Measured = DemoMethod.Widths,
            ToplineEvery = 0,
            LastMeasured = -62,
            Unbooked = (-120, 1),
        },
        new("Sedge", "mare", "endurance", 7, [new("Sedge's endurance saddle")], new(303, Lean, [DemoChange.Building(-240, 8, 100), DemoChange.Season(1.5, -110)]))
        {
            Phases = [new(FirstDay, "steady"), new(-240, "conditioning")],
            Signs = [new(-2, "dry-patch", "Hand-sized dry patch under the rear of the right panel, ringed by sweat.", null)],
        },
    ];

    public static IReadOnlyList<DemoHorse> MillBottom { get; } =
    [
        // Two widths against a tree by its sides: a modelled section.
        new("Curlew", "mare", "endurance", 11, [new("Curlew's endurance saddle", 180)], new(308, Lean, [DemoChange.Season(2, -120)]))
        {
            Phases = [new(FirstDay, "steady")],
            Measured = DemoMethod.Widths,
            ToplineEvery = 4,
        },
        new("Lapwing", "gelding", "native cob", 9, [new("Lapwing's saddle")], new(330, Round, [DemoChange.Building(-80, 46, 60)]))
        {
            Phases = [new(FirstDay, "steady"), new(-80, "building")],
            Unbooked = (-80, 1),
            RiderKg = 70,
        },
        new("Plover", "gelding", "endurance", 21, [new("Plover's old saddle", 100) { TreeBy = DemoTreeBy.Widths }], new(305, Lean, [DemoChange.LayOff(-260, 0, 14)]))
        {
            Phases = [new(FirstDay, "steady"), new(-260, "letting-down")],
            Measured = DemoMethod.Widths,
            ToplineEvery = 0,
            RetiredOn = -190,
            LastMeasured = -200,
        },
    ];
}
