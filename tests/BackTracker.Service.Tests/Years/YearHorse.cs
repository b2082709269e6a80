namespace BackTracker.Service.Tests.Years;

/// <summary>What a horse lives through in the year.</summary>
internal enum YearStory
{
    Steady,
    Building,
    LaidOff,
    Growing,
    Gaining,
    OneSided,
    Signs,
    NewSaddle,
    Forgotten,
    Sharing,
}

/// <summary>An invented horse of known back: what a measurement would read on each day, and what happens when.</summary>
internal sealed record YearHorse(YearStory Story, int Number)
{
    public string Name => $"{Story} {Number}";

    public string Id { get; set; } = "";

    public string SaddleId { get; set; } = "";

    public string PairingId { get; set; } = "";

    /// <summary>Opening of the tree at T13, 150 mm down, as it was last altered.</summary>
    public double TreeMm { get; set; }

    public int BornYearsAgo => Story == YearStory.Growing ? 4 : 11;

    /// <summary>Day on which something of the story begins; spread over the horses.</summary>
    public int Turn => 40 + (Number * 7 % 60);

    public double HalfLeftMm(int day) => ((Base + Season(day) + Own(day)) / 2) - Uneven(day);

    public double HalfRightMm(int day) => HalfLeftMm(day) + (2 * Uneven(day));

    public double WidthMm(int day) => HalfLeftMm(day) + HalfRightMm(day);

    public double WeightKg(int day) => 480 + (Number % 5 * 12) + (Story == YearStory.Gaining ? 65 * Rise(day, Turn + 50, 7) : 0);

    /// <summary>How likely the yard is to measure on a day on which it is asked.</summary>
    public double Diligence => Story == YearStory.Forgotten ? .01 : .35;

    private double Base => 306 + (Number % 9);

    // One side grows as the other goes, so that the width alone calls nobody.
    private double Uneven(int day) => Story == YearStory.OneSided ? 9 * Rise(day, Turn + 60, 7) : 0;

    private static double Season(int day) => 2 * Math.Sin(2 * Math.PI * day / 365);

    private double Own(int day) => Story switch
    {
        YearStory.Building => 20 * Rise(day, Turn, 150),
        YearStory.LaidOff => (-9 * Rise(day, Turn, 50)) + (11 * Rise(day, Turn + 60, 90)),
        YearStory.Growing => 12 * Rise(day, 0, 365),
        YearStory.Gaining => 7 * Rise(day, Turn + 50, 70),
        YearStory.Forgotten => 30 * Rise(day, Turn, 120),
        _ => 0,
    };

    private static double Rise(int day, int from, int over) => Math.Clamp((day - from) / (double)over, 0, 1);
}
