using BackTracker.Service.Tests.Harness;
using UglyToad.PdfPig;

namespace BackTracker.Service.Tests.Templates;

/// <summary>Whether a printed template has the size of the back: measured in the lines of the file and in the dots a printer would set.</summary>
public sealed class TemplateScaleTests
{
    private const double WithinMm = .3;

    // T13 of the traced back: y = 150 (2 |x| / w)^p.
    private const double PowerAtT13 = 1.75;

    [Theory]
    [InlineData("a4", 306, 2)]
    [InlineData("letter", 306, 2)]
    [InlineData("a3", 306, 1)]
    [InlineData("a4", 400, 3)]
    public async Task EveryPage_isAtTrueScale_andSheetsJoinByTheirCrosses(string paper, double widthMm, int sheets)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureAsync(new() { WiderMm = widthMm - 306 });

        var file = await ReadPaper.GetAsync(service, $"/v1/horses/{yard.HorseId}/template.pdf?paper={paper}&station=T13");
        using var pdf = PdfDocument.Open(file);
        ReadTemplate[] pages = [.. pdf.GetPages().Select(page => new ReadTemplate(page))];
        var dots = await Pixels.OfAsync(file);

        Assert.Equal((sheets, sheets), (pages.Length, dots.Count));
        Assert.All(pages.Zip(dots), page => HasRulersOf100Mm(page.First, page.Second));
        Assert.All(pages, page => LiesOnTheBack(page, widthMm));
        Assert.All(pages.Zip(dots), page => IsDrawnOnTheBack(page.First, page.Second, widthMm));
        foreach (var depth in new[] { 60.0, 110, 150 })
            Assert.Equal(widthMm * Math.Pow(depth / 150, 1 / PowerAtT13), JoinedWidth(pages, dots, depth), WithinMm);
    }

    [Fact]
    public async Task ABackTooTallForAPage_isCutIntoRows_thatJoinByTheirCrosses()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await TracedYard.SettleAsync(service);
        await yard.MeasureAsync(new() { LowestMm = 330, Stations = ["T8"] });

        var file = await ReadPaper.GetAsync(service, $"/v1/horses/{yard.HorseId}/template.pdf");
        using var pdf = PdfDocument.Open(file);
        ReadTemplate[] pages = [.. pdf.GetPages().Select(page => new ReadTemplate(page))];
        var dots = await Pixels.OfAsync(file);

        Assert.True(pages.Length >= 4, $"{pages.Length} pages");
        var seams = 0;
        for (var i = 0; i < pages.Length; i++)
        {
            for (var j = i + 1; j < pages.Length; j++)
            {
                var shifts = Shifts(pages[i], dots[i], pages[j], dots[j]);
                seams += shifts.Count / 2;
                Assert.All(shifts, shift => Assert.Equal(pages[i].Spine.X - pages[j].Spine.X, shift.X, WithinMm));
                Assert.All(shifts, shift => Assert.Equal(pages[i].Spine.Y - pages[j].Spine.Y, shift.Y, WithinMm));
            }
        }
        Assert.True(seams >= pages.Length, $"{seams} seams with two crosses between {pages.Length} sheets");
    }

    private static void HasRulersOf100Mm(ReadTemplate page, Pixels dots)
    {
        // Past the middle ticks, where only the first and the last reach.
        var (corner, past) = (page.RulerCorner, 7 * 25.4 / 72);
        var across = dots.Across(corner.Y + past, corner.X - 2, corner.X + 103);
        var upwards = dots.Upwards(corner.X + past, corner.Y - 2, corner.Y + 103);
        Assert.Equal(100, across[1] - across[0], WithinMm);
        Assert.Equal(100, upwards[1] - upwards[0], WithinMm);
    }

    private static void LiesOnTheBack(ReadTemplate page, double widthMm)
    {
        var (spine, mean) = (page.Spine, page.Curves[0]);
        Assert.All(mean, point => Assert.InRange(Off(point.X - spine.X, spine.Y - point.Y, widthMm), 0, WithinMm));
        Assert.True(mean[^1].X - mean[0].X > widthMm, $"{mean[^1].X - mean[0].X} mm");
    }

    private static void IsDrawnOnTheBack(ReadTemplate page, Pixels dots, double widthMm)
    {
        var (window, spine, looked) = (page.Window, page.Spine, 0);
        for (var x = -widthMm / 2 + 2; x < (widthMm / 2) - 2; x += 7)
        {
            var (column, row) = (spine.X + x, spine.Y - Depth(x, widthMm));
            if (column < window.Left + 1 || column > window.Right - 1 || page.Crosses.Values.Any(cross => double.Hypot(cross.X - column, cross.Y - row) < 6))
                continue;
            var nearest = dots.Upwards(column, row - 2, row + 2).MinBy(middle => Math.Abs(middle - row));
            Assert.InRange(Off(x, spine.Y - nearest, widthMm), 0, WithinMm);
            looked++;
        }
        Assert.True(looked > 15, $"{looked} places were looked at");
    }

    /// <summary>Width of the back at a depth, in dots alone: from the left flank on the first sheet to the right flank on the last.</summary>
    private static double JoinedWidth(ReadTemplate[] pages, IReadOnlyList<Pixels> dots, double depth)
    {
        var shift = 0.0;
        for (var i = 1; i < pages.Length; i++)
        {
            var shifts = Shifts(pages[i - 1], dots[i - 1], pages[i], dots[i]);
            Assert.Equal(2, shifts.Count);
            Assert.Equal(shifts[0].X, shifts[1].X, WithinMm);
            Assert.Equal(shifts[0].Y, shifts[1].Y, WithinMm);
            shift += shifts[0].X;
        }
        ReadTemplate first = pages[0], last = pages[^1];
        var left = dots[0].Across(first.Spine.Y - depth, first.Window.Left + 1, first.Window.Right - 1)[0];
        var right = dots[^1].Across(last.Spine.Y - depth, last.Window.Left + 1, last.Window.Right - 1)[^1];
        return right + shift - left;
    }

    /// <summary>How far one sheet is to be pushed to lie over another, by each cross that both show.</summary>
    private static List<(double X, double Y)> Shifts(ReadTemplate one, Pixels its, ReadTemplate other, Pixels others)
    {
        var shifts = new List<(double, double)>();
        foreach (var number in one.Crosses.Keys.Intersect(other.Crosses.Keys))
        {
            var (a, b) = (one.Crosses[number], other.Crosses[number]);
            var (seen, again) = (its.CrossAt(a.X, a.Y), others.CrossAt(b.X, b.Y));
            shifts.Add((seen.X - again.X, seen.Y - again.Y));
        }
        return shifts;
    }

    private static double Depth(double x, double widthMm) => 150 * Math.Pow(2 * Math.Abs(x) / widthMm, PowerAtT13);

    // Distance from the closed form of the back, by trying its places.
    private static double Off(double x, double depth, double widthMm) =>
        Enumerable.Range(-300, 601).Select(i => x + (i * .01)).Min(place => double.Hypot(place - x, Depth(place, widthMm) - depth));
}
