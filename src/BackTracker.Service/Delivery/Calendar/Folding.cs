using System.Text;

namespace BackTracker.Service.Delivery.Calendar;

/// <summary>
/// Lines of at most 75 octets (RFC 5545 3.1). The library folds by octets too, but through the middle of characters beyond the first plane, such
/// as emoji, which are then lost.
/// </summary>
internal static class Folding
{
    private const int LongestLine = 75;
    private const string Fold = "\r\n ";

    /// <summary>The same text folded between characters.</summary>
    public static string Mend(string folded)
    {
        var mended = new StringBuilder(folded.Length);
        var octets = 0;
        foreach (var rune in folded.Replace(Fold, "", StringComparison.Ordinal).EnumerateRunes())
        {
            if (rune.Value is not ('\r' or '\n') && octets + rune.Utf8SequenceLength > LongestLine)
            {
                mended.Append(Fold);
                octets = 1;
            }
            mended.Append(rune);
            octets = rune.Value == '\n' ? 0 : octets + rune.Utf8SequenceLength;
        }
        return mended.ToString();
    }
}
