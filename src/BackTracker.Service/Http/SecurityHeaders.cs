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
        if (response.HttpContext.Request.IsHttps)
            response.Headers.StrictTransportSecurity = "max-age=31536000";
    }

    /// <summary>Lets a page load its own style and script and send its own forms, and nothing else.</summary>
    public static void AllowPage(HttpResponse response)
    {
        // As forms ask for it; plain no-store is overruled with a warning.
        response.Headers.CacheControl = "no-cache, no-store";
        response.Headers.Pragma = "no-cache";
        response.Headers.ContentSecurityPolicy =
            "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
    }
}
