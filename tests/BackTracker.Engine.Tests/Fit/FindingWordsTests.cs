using BackTracker.Engine.Assessments;
using BackTracker.Engine.Fit;
using BackTracker.Engine.Tests.Assessments;

namespace BackTracker.Engine.Tests.Fit;

public sealed class FindingWordsTests
{
    // A list that is sorted by measure and station alone may come out right before left.
    [Fact]
    public void On_markedHorse_givesLeftBeforeRight()
    {
        string[] sided = [.. Even().Where(finding => finding.Key.Side is not null).Select(finding => finding.Key.ToString())];

        Assert.Equal(["bridging@left", "bridging@right"], sided);
    }

    [Fact]
    public void Text_ofNothing_saysSoInsteadOfNamingASide()
    {
        var texts = Even().ToDictionary(finding => finding.Key.ToString(), finding => finding.Text);

        Assert.Contains("Tree as steep on the left as on the right, against the back at T13 (limit 6.0)", texts["angle-difference@T13"], StringComparison.Ordinal);
        Assert.Contains("Saddle level from side to side (limit 2.0)", texts["roll"], StringComparison.Ordinal);
        Assert.Contains("Left and right half alike at T8, 150 mm down (limit 10)", texts["asymmetry150@T8"], StringComparison.Ordinal);
        Assert.Equal("Tree does not rock (limit 20)", FitWords.Statement(new FindingKey(Measure.Rocking), "", new FindingNumbers(.2, 5, 0, 0, 0), FitTolerances.Usual(Measure.Rocking)));
    }

    // A hollow about five sixths of the way along, where no station lies within 60 mm: T13 lies at 210 mm and T18 at 420.
    [Fact]
    public void Text_ofAPlaceFarFromAnyStation_namesTheThirdOfThePanel()
    {
        static HorseFacts Sunk(double from, double to) => TracedHorse.Sessions((id, on, _) => Hollowed(TracedHorse.Session(id, on), from, to));
        var (far, near) = (Bridging(Sunk(270, 400)), Bridging(Sunk(100, 320)));

        Assert.Null(far.Near);
        Assert.Matches(@"^Out of tolerance\. Panel \d+ mm off the back in the rear third \(limit 8\)", far.Text);
        Assert.Equal(13, near.Near!.Value.Vertebra);
        Assert.Matches(@"^Out of tolerance\. Panel \d+ mm off the back in the middle third near T13 \(limit 8\)", near.Text);
    }

    private static SessionFact Hollowed(SessionFact session, double from, double to) => session with
    {
        Topline = [.. session.Topline.Select(at => at.X > from && at.X < to ? at with { Y = at.Y + (60 * (at.X - from) * (to - at.X) / ((to - from) * (to - from))) } : at)],
    };

    private static Finding Bridging(HorseFacts facts) => Larkfield.FitOn(facts, Larkfield.Today).Single(finding => finding.Key.Measure == Measure.Bridging);

    [Fact]
    public void Text_beyondALimitThatIsOnlyWatched_namesThatLimit()
    {
        var wide = TracedHorse.Settled.Pairings[0];
        wide = wide with { TreeShapes = [.. wide.TreeShapes.Select(shape => shape with { Stations = [.. shape.Stations.Select(station => station with { ChannelHeightMm = 95 })] })] };

        var finding = Larkfield.FitOn(TracedHorse.Settled with { Pairings = [wide] }, Larkfield.Today).Single(finding => finding.Key.Measure == Measure.PommelClearance);

        Assert.Equal(Severity.Watch, finding.Severity);
        Assert.Contains("(watched from 75)", finding.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(Measure.Bridging, "a hollow of about 9 mm")]
    [InlineData(Measure.Rocking, "a bend of about 9 mm")]
    [InlineData(Measure.Balance, "front and rear about 9 mm out of level")]
    [InlineData(Measure.Roll, "left and right about 9 mm out of level")]
    public void ToBeLevelled_saysWhatIsOutAndNotWhatGoesIn(Measure measure, string said) => Assert.Equal(said, FitWords.ToBeLevelled(measure, 9.2));

    private static IReadOnlyList<Finding> Even()
    {
        var on = Larkfield.Today.AddDays(-7);
        var facts = TracedHorse.Settled with { Sessions = [.. Enumerable.Range(0, 4).Select(i => TracedHorse.Session($"s{i}", on.AddDays(-28 * (3 - i)), asymmetryPct: 0))] };
        return Larkfield.FitOn(facts, on);
    }
}
