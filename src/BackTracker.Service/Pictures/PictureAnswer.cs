using System.Text;
using BackTracker.Service.Http;

namespace BackTracker.Service.Pictures;

/// <summary>Pictures over HTTP.</summary>
internal static class PictureAnswer
{
    public const string MediaType = "image/svg+xml";

    /// <summary>The frame of a picture that stands alone.</summary>
    /// <exception cref="ProblemException">It would be too narrow to read or too wide to mean it.</exception>
    public static PictureFrame Frame(int? widthPx) => (widthPx ?? PictureFrame.UsualWidthPx) is >= PictureFrame.LeastWidthPx and <= PictureFrame.MostWidthPx and var width
        ? new(width, "picture")
        : throw new ProblemException(ProblemKind.BadQuery, $"width is a number of px from {PictureFrame.LeastWidthPx} to {PictureFrame.MostWidthPx}.");

    public static IResult Of(string svg) => Results.Text(svg, MediaType, Encoding.UTF8);
}
