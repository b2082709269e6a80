using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Measurements;

namespace BackTracker.Service.Tests.Measurements;

public sealed class TraceTextTests
{
    [Theory]
    [InlineData("-12.5 3")]
    [InlineData("-12,5 3,0")]
    [InlineData("-12.5,3")]
    [InlineData("-12,5;3")]
    [InlineData("-12,5; 3,0")]
    [InlineData("-12.5\t3")]
    [InlineData("-12,5\t3,0")]
    [InlineData("-12.5, 3")]
    [InlineData("-12,5, 3,0")]
    [InlineData("-12,5,3,0")]
    [InlineData("  -12.5   3  \r")]
    [InlineData("\u221212,5 3")]
    public void Point_isRead_howeverItsNumbersAreParted(string line) => Assert.Equal([new PointMm(-12.5, 3)], Read(line));

    [Fact]
    public void Lines_areReadInOrder_andEmptyOnesPassedOver() =>
        Assert.Equal([new PointMm(-5, 1), new PointMm(0, 0), new PointMm(5, 1.5)], Read("-5 1\n\n0 0\r\n 5 1,5\n\n"));

    [Theory]
    [InlineData("1 2\n3", "line 2: no two numbers in \"3\"")]
    [InlineData("1 2\n\nx y", "line 3: no two numbers in \"x y\"")]
    [InlineData("1 2 3", "line 1: no two numbers")]
    [InlineData("NaN 3", "line 1: no two numbers")]
    [InlineData("1.234,5 3", "line 1: no two numbers")]
    [InlineData("12,5,3", "line 1: \"12,5,3\" can be read in two ways")]
    public void Line_thatCannotBeRead_isNamed(string text, string words)
    {
        Assert.False(TraceText.TryRead(text, out _, out var fault));

        Assert.Contains(words, fault, StringComparison.Ordinal);
    }

    [Fact]
    public void Line_withOneDecimalNumberAmongPairs_isNoPair()
    {
        Assert.False(TraceText.TryRead("-12,5 3,0\n10,5", out _, out var fault));

        Assert.Contains("line 2", fault, StringComparison.Ordinal);
    }

    [Fact]
    public void Points_areReadAsTheyWereWritten() =>
        Assert.Equal([new PointMm(-12.5, 3), new PointMm(.1, -2)], Read(TraceText.Write([[-12.5, 3], [.1, -2]])));

    private static IReadOnlyList<PointMm> Read(string text)
    {
        Assert.True(TraceText.TryRead(text, out var points, out var fault), fault);
        return points;
    }
}
