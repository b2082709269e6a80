using System.Reflection;
using System.Security.Cryptography;

namespace BackTracker.Service.Pages;

/// <summary>Style and script of the pages, kept in the binary. Their address changes with their content, so that browsers keep them for good.</summary>
internal static class PageAssets
{
    public static string Style { get; } = AddressOf("style.css");

    public static string Script { get; } = AddressOf("pages.js");

    public static void MapAssets(this IEndpointRouteBuilder routes)
    {
        Map(routes, "style.css", "text/css; charset=utf-8");
        Map(routes, "pages.js", "text/javascript; charset=utf-8");
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
