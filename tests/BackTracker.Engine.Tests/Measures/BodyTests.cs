using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Tests.Measures;

public class BodyTests
{
    // Group means of Jensen, Rockhold and Tauson 2019, Acta Vet Scand 61, table 2: Icelandic 166/158 cm (scale 366 kg), Warmblood 204/185 cm
    // (scale 640 kg), by the formula of Carroll and Huntington 1988, Equine Vet J 20:41-45.
    [Theory]
    [InlineData(1660, 1580, 365.9)]
    [InlineData(2040, 1850, 647.0)]
    public void FromTapeKg_published_group_means(double girthMm, double lengthMm, double kg) => Assert.Equal(kg, BodyWeight.FromTapeKg(girthMm, lengthMm), .05);

    [Theory]
    [InlineData(0, 1800)]
    [InlineData(1800, -1)]
    public void FromTapeKg_refuses_lengths_that_are_none(double girthMm, double lengthMm) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => BodyWeight.FromTapeKg(girthMm, lengthMm));

    // Our arithmetic: atan(((312 - 100) / 2) / 120) = 41.46 degrees, 82.91 between the flanks; 298 mm gives 79.05.
    [Theory]
    [InlineData(100, 312, 82.91)]
    [InlineData(100, 298, 79.05)]
    [InlineData(150, 150, 0)]
    public void FromVerticalDeg_worked_cases(double width30, double width150, double included) =>
        Assert.Equal(included, 2 * WidthAngle.FromVerticalDeg(width30, width150), .006);

    // 310 is the example of the API's hint; ranges are common practice, no source.
    [Theory]
    [InlineData("T13.width150", 310, null)]
    [InlineData("T13.width150", 3100, "310 cm wide: did you mean 310 mm?")]
    [InlineData("T13.width150", 31, "31 mm wide: did you mean 31 cm, 310 mm?")]
    [InlineData("T13.width30", 12, "12 mm wide: did you mean 12 cm, 120 mm?")]
    [InlineData("girth", 190, "190 mm round: did you mean 190 cm, 1900 mm?")]
    [InlineData("withersHeight", 15500, "1550 cm high: did you mean 1550 mm?")]
    [InlineData("bodyLength", 1600, null)]
    [InlineData("weight", 5000, "weight of 5000 kg is not plausible: 40 to 1600 kg is.")]
    [InlineData("conditionScore1to9", 9, null)]
    [InlineData("conditionScore1to9", 9.5, "conditionScore1to9 of 9.5 - is not plausible: 1 to 9 - is.")]
    [InlineData("T13.width150", double.NaN, "T13.width150 is not a number.")]
    [InlineData("T8.asymmetry150", -12, null)]
    public void Check_boundary_rows(string name, double value, string? hint)
    {
        Assert.True(Metric.TryParse(name, out var metric));
        Assert.Equal(hint, Plausibility.Check(metric, value));
    }

    [Theory]
    [InlineData("T13.angleLeft", "deg", .5)]
    [InlineData("T8.angleRight", "deg", .5)]
    [InlineData("T13.angle", "deg", .5)]
    [InlineData("T13.fillLeft", "mm2", 120)]
    [InlineData("T18.fillRight", "mm2", 120)]
    [InlineData("T13.fill", "mm2", 120)]
    [InlineData("T13.shapeRatio", "-", .008)]
    [InlineData("T13.asymmetry150", "%", 1.5)]
    [InlineData("T13.halfLeft30", "mm", 1.4)]
    [InlineData("dip", "mm", 3)]
    public void TryParse_metric_as_written_reads_it_with_its_unit_and_spread(string name, string unit, double sd)
    {
        Assert.True(Metric.TryParse(name, out var metric));
        Assert.Equal((name, unit, sd), (metric.ToString(), metric.Unit, metric.StartingSessionSd));
    }

    [Theory]
    [InlineData("angle")]
    [InlineData("T13.angle30")]
    [InlineData("T13.dip")]
    [InlineData("dip150")]
    [InlineData("fill")]
    [InlineData("T13.Fill")]
    public void TryParse_station_or_depth_where_there_is_none_is_refused(string name) => Assert.False(Metric.TryParse(name, out _));

    [Fact]
    public void RangeOf_every_quantity_has_one() =>
        Assert.All(Enum.GetValues<Quantity>(), quantity => Assert.True(Plausibility.RangeOf(new Metric(quantity)).Low < Plausibility.RangeOf(new Metric(quantity)).High));
}
