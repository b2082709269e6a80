namespace BackTracker.Service.Http;

internal static class SecurityHeaders
{
    /// <summary>Headers every answer carries.</summary>
    public static void Set(HttpResponse response)
    {
        response.Headers.XContentTypeOptions = "nosniff";
        response.Headers.CacheControl = "no-store";
        response.Headers["Referrer-Policy"] = "no-referrer";
        response.Headers.ContentSecurityPolicy = "default-src 'none'; frame-ancestors 'none'";
    }
}
