using System.Globalization;
using BackTracker.Engine.Repeatability;

namespace BackTracker.Service.Pictures;

/// <summary>Agreement in words, for who cannot see the picture.</summary>
internal static class AgreementWords
{
    public static string Describe(AgreementDrawing drawing)
    {
        var (bias, low, high) = (drawing.Agreement.Offset, drawing.Agreement.LowLimit(), drawing.Agreement.HighLimit());
        return $"{drawing.Difference} against the mean of the two, {drawing.Pairs.Count} pairs. Mean difference {drawing.WithUnit(Signed(bias.Value))} ({Signed(bias.Low)} to {Signed(bias.High)}). Of 100 differences 95 lie between {Signed(low.Value)} ({Signed(low.Low)} to {Signed(low.High)}) and {drawing.WithUnit(Signed(high.Value))} ({Signed(high.Low)} to {Signed(high.High)}).";
    }

    /// <summary>The three levels, from the top down.</summary>
    public static IReadOnlyList<(string Name, Between Level)> Levels(Agreement agreement) =>
        [("high limit", agreement.HighLimit()), ("mean", agreement.Offset), ("low limit", agreement.LowLimit())];

    /// <summary>To a tenth, and to a hundredth where it is less than one.</summary>
    public static string Signed(double value)
    {
        var digits = Math.Abs(value) < 1 ? "0.0#" : "0.0";
        return value.ToString($"{digits};\u2212{digits}", CultureInfo.InvariantCulture);
    }

    /// <summary>A round number beside an axis.</summary>
    public static string Number(double value) => value.ToString("0.####;\u22120.####", CultureInfo.InvariantCulture);
}
