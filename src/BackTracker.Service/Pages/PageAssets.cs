using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using BackTracker.Service.Http;

namespace BackTracker.Service.Pages;

/// <summary>Style and script of the pages, kept in the binary. Their address changes with their content, so that browsers keep them for good.</summary>
internal static class PageAssets
{
    public static string Style { get; } = AddressOf("style.css");

    public static string Script { get; } = AddressOf("pages.js");

    /// <summary>What keeps on the phone what is typed there. Apart from the other, so that a browser that keeps nothing stops this one alone.</summary>
    public static string Drafts { get; } = AddressOf("drafts.js");

    public static void MapAssets(this IEndpointRouteBuilder routes)
    {
        Map(routes, "style.css", "text/css; charset=utf-8");
        Map(routes, "pages.js", "text/javascript; charset=utf-8");
        Map(routes, "drafts.js", "text/javascript; charset=utf-8");
        MapWorker(routes);
    }

    // It names the files it keeps, so that a new release of one of them is a new worker.
    private static void MapWorker(IEndpointRouteBuilder routes)
    {
        byte[] content = [.. Encoding.UTF8.GetBytes($"const files = {Json.Write(new[] { Style, Script, Drafts })};\n"), .. Read("worker.js")];
        routes.MapGet("/assets/worker.js", (HttpContext http) =>
        {
            http.Response.Headers.CacheControl = "no-cache";
            http.Response.Headers["Service-Worker-Allowed"] = "/";
            http.Response.Headers.ContentSecurityPolicy = "default-src 'none'; connect-src 'self'";
            return Results.Bytes(content, "text/javascript; charset=utf-8");
        }).ExcludeFromDescription();
    }

    private static void Map(IEndpointRouteBuilder routes, string name, string type)
    {
        var content = Read(name);
        routes.MapGet($"/assets/{name}", (HttpContext http, string? v) =>
        {
            http.Response.Headers.CacheControl = v is null ? "no-cache" : "public, max-age=31536000, immutable";
            return Results.Bytes(content, type);
        }).ExcludeFromDescription();
    }

    private static string AddressOf(string name) => $"/assets/{name}?v={Convert.ToHexStringLower(SHA256.HashData(Read(name)))[..12]}";

    private static byte[] Read(string name)
    {
        using var stream = Assembly.GetExecutingAssembly().GetManifestResourceStream($"BackTracker.Service.Pages.{name}")!;
        var content = new byte[stream.Length];
        stream.ReadExactly(content);
        return content;
    }
}
