using BackTracker.Engine.Profiles;

namespace BackTracker.Service.Features.Measurements;

/// <summary>How uneven an unmarked trace is, in words.</summary>
/// <param name="Text">The words.</param>
/// <param name="TimesTheLimit">How far it is beyond what is worth saying.</param>
public sealed record Unevenness(string Text, double TimesTheLimit);

/// <summary>
/// Says which drawing error would explain an uneven trace. It is said and never applied: an uneven horse looks the same. With both marks
/// there is nothing to guess.
/// </summary>
internal static class UnevenWords
{
    // Either makes a false asymmetry of about 5 % at 150 mm (docs/method.md): our choice.
    private const double NoticedShiftMm = 3;
    private const double NoticedTurnDeg = 1;

    public static Unevenness? Of(string place, Section section)
    {
        if (section.IsMarked || !SymmetryDiagnosis.TryOf(section, out var diagnosis))
            return null;
        var (shift, turn) = (section.Marks.Midline, section.Marks.Level) switch
        {
            ({ }, null) => (0, diagnosis.TurnAloneDeg),
            (null, { }) => (diagnosis.ShiftAloneMm, 0),
            _ when diagnosis.TellsShiftFromTurn => (diagnosis.ShiftMm, diagnosis.TurnDeg),
            _ => (diagnosis.ShiftAloneMm, diagnosis.TurnAloneDeg),
        };
        double ofShift = Math.Abs(shift) / NoticedShiftMm, ofTurn = Math.Abs(turn) / NoticedTurnDeg;
        if (ofShift <= 1 && ofTurn <= 1)
            return null;
        return new Unevenness(
            section.Marks == default && !diagnosis.TellsShiftFromTurn
                ? $"A trace at {place} is uneven: a drawing {Shift(shift)}, or one {Turn(turn)}, would explain it, and so would the horse. This shape cannot tell shift from turn. Nothing was corrected."
                : $"A trace at {place} is uneven, as a drawing {Both(shift, ofShift, turn, ofTurn)} would be. So may the horse be: without both marks that cannot be told. Nothing was corrected.",
            Math.Max(ofShift, ofTurn));
    }

    private static string Both(double shift, double ofShift, double turn, double ofTurn) => (ofShift > 1, ofTurn > 1) switch
    {
        (true, true) => $"{Shift(shift)} and {Turn(turn)}",
        (true, false) => Shift(shift),
        _ => Turn(turn),
    };

    private static string Shift(double mm) => FormattableString.Invariant($"{Math.Abs(mm):0} mm too far to the {(mm > 0 ? "right" : "left")}");

    private static string Turn(double deg) => FormattableString.Invariant($"turned by {Math.Abs(deg):0.0} degrees with the {(deg > 0 ? "right" : "left")} side low");
}
