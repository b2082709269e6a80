namespace BackTracker.Service.Pictures;

/// <summary>A saddle under its rider in words, for who cannot see the picture.</summary>
internal static class ContactWords
{
    private const string Static = "A static picture of a rigid tree on a still horse, no measurement.";

    public static string Title(ContactDrawing drawing) => $"{drawing.SaddleLabel} on {drawing.HorseName} under its rider, {Engine.Words.Day(drawing.On)}";

    public static string Describe(ContactDrawing drawing) => string.Join(' ',
    [
        $"Where {drawing.SaddleLabel} would press on the back of {drawing.HorseName} expected on {Engine.Words.Day(drawing.On)}, seen from above with the front up and left on the left, beside a tree that follows the same back.",
        drawing.Load,
        "Pressures are multiples of the mean under the tree that follows the back.",
        .. drawing.Plans.Select(plan => $"{Engine.Words.Sentence(plan.Name)}: {plan.Words}"),
        Static,
    ]);

    /// <summary>What stands under the picture.</summary>
    public static IReadOnlyList<string> Captions(ContactDrawing drawing, double widthPx) =>
        [.. new[] { drawing.Load, $"Times the mean under the tree that follows the back. {Static}" }.SelectMany(words => SectionWords.Wrapped(words, widthPx))];
}
