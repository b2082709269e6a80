using System.Net;
using System.Net.Http.Headers;
using UglyToad.PdfPig;
using UglyToad.PdfPig.Content;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A PDF of the service, read back.</summary>
internal static class ReadPaper
{
    /// <summary>Asks for one with the first key, and insists on it.</summary>
    public static async Task<byte[]> GetAsync(RunningService service, string path)
    {
        using var http = new HttpClient { BaseAddress = new Uri(service.Address) };
        http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", service.AdminKey);
        using var answer = await http.GetAsync(path, TestContext.Current.CancellationToken);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        Assert.Equal("application/pdf", answer.Content.Headers.ContentType!.MediaType);
        return await answer.Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken);
    }

    public static string Text(PdfDocument pdf) => string.Join('\n', pdf.GetPages().Select(Text));

    public static string Text(Page page) => string.Join('\n', Lines(page));

    /// <summary>Text on one line however it was broken.</summary>
    public static string Unbroken(string text) => text.Replace('\n', ' ');

    // From the top down, each line from left to right; the pieces of a line are written one by one.
    public static IEnumerable<string> Lines(Page page) => page.Letters
        .GroupBy(letter => Math.Round(letter.StartBaseLine.Y))
        .OrderByDescending(line => line.Key)
        .Select(line => string.Concat(line.OrderBy(letter => letter.StartBaseLine.X).Aggregate(new List<(string, double)>(), Join).Select(piece => piece.Item1)));

    public static void InOrder(string text, params string[] parts)
    {
        var from = 0;
        foreach (var part in parts)
        {
            var at = text.IndexOf(part, from, StringComparison.Ordinal);
            Assert.True(at >= 0, $"'{part}' does not come where it should in:\n{text[from..]}");
            from = at + part.Length;
        }
    }

    /// <summary>Every letter lies on the paper, so far from its edges at least.</summary>
    public static void StaysWithin(PdfDocument pdf, double marginPt) => Assert.All(pdf.GetPages(), page => Assert.All(page.Letters, letter =>
    {
        var box = letter.BoundingBox;
        Assert.True(
            box.Left >= marginPt && box.Right <= page.Width - marginPt && box.Bottom >= marginPt && box.Top <= page.Height - marginPt,
            $"'{letter.Value}' at {box} on page {page.Number}");
    }));

    private static List<(string Text, double End)> Join(List<(string Text, double End)> line, Letter letter)
    {
        var parted = line.Count > 0 && letter.StartBaseLine.X - line[^1].End > 1 && letter.Value != " " && line[^1].Text[^1] != ' ';
        line.Add(((parted ? " " : "") + letter.Value, letter.EndBaseLine.X));
        return line;
    }
}
