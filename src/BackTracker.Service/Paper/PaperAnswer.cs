namespace BackTracker.Service.Paper;

/// <summary>PDF over HTTP.</summary>
internal static class PaperAnswer
{
    /// <summary>A document that a browser shows, and keeps under a name.</summary>
    public static IResult Of(HttpContext http, string name, byte[] pdf)
    {
        http.Response.Headers.ContentDisposition = $"inline; filename=\"{name}.pdf\"";
        return Results.Bytes(pdf, "application/pdf");
    }
}
