using UglyToad.PdfPig.Fonts.AdobeFontMetrics;
using UglyToad.PdfPig.Fonts.Encodings;
using UglyToad.PdfPig.Fonts.Standard14Fonts;
using UglyToad.PdfPig.Writer;

namespace BackTracker.Service.Paper;

/// <summary>One of the standard fonts every reader of PDF has, with the widths of its letters.</summary>
internal sealed class Typeface
{
    private const double UnitsPerSize = 1000;
    private readonly double[] _widths = new double[256];

    public Typeface(PdfDocumentBuilder document, Standard14Font font)
    {
        Added = document.AddStandard14Font(font);
        var metrics = Standard14.GetAdobeFontMetrics(font);
        for (var code = 32; code < _widths.Length; code++)
            _widths[code] = WidthOf(metrics, code) / UnitsPerSize;
    }

    public PdfDocumentBuilder.AddedFont Added { get; }

    /// <summary>Width of readable text, points.</summary>
    public double WidthOf(string readable, double size) => WinAnsi.Codes(readable).Sum(code => _widths[code]) * size;

    // The two codes that WinAnsi adds to the names of letters: a blank and a hyphen.
    private static double WidthOf(AdobeFontMetrics metrics, int code) =>
        metrics.CharacterMetrics.TryGetValue(code switch { 0xa0 => "space", 0xad => "hyphen", _ => WinAnsiEncoding.Instance.GetName(code) }, out var letter) ? letter.Width.X : 0;
}
