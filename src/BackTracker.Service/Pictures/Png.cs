using SkiaSharp;
using Svg.Skia;
using Svg.Skia.TypefaceProviders;

namespace BackTracker.Service.Pictures;

/// <summary>Turns a picture of ours into pixels, for readers that show no SVG. Shades of grey are enough for one ink.</summary>
internal static class Png
{
    // Twice as fine as it is shown: the screens of phones are.
    private const float Scale = 2;

    /// <summary>The picture as PNG.</summary>
    /// <param name="svg">The picture.</param>
    /// <param name="face">In which it is written, whatever font it asks for.</param>
    public static byte[] Of(string svg, SKTypeface face)
    {
        using var drawn = new SKSvg();
        drawn.Settings.TypefaceProviders = [new OneFace(face)];
        var picture = drawn.FromSvg(svg) ?? throw new InvalidOperationException("The picture could not be read.");
        var size = picture.CullRect;
        using var pixels = new SKBitmap((int)(size.Width * Scale), (int)(size.Height * Scale), SKColorType.Gray8, SKAlphaType.Opaque);
        using var canvas = new SKCanvas(pixels);
        canvas.Clear(SKColors.White);
        canvas.Scale(Scale);
        canvas.DrawPicture(picture);
        using var png = pixels.Encode(SKEncodedImageFormat.Png, 100);
        return png.ToArray();
    }

    private sealed class OneFace(SKTypeface face) : ITypefaceProvider
    {
        public SKTypeface FromFamilyName(string fontFamily, SKFontStyleWeight fontWeight, SKFontStyleWidth fontWidth, SKFontStyleSlant fontStyle) => face;
    }
}
