using Microsoft.AspNetCore.Components;

namespace BackTracker.Service.Pages;

/// <summary>Carries from a form that was taken to the page gone to that it was: a cookie, so that nothing is said again when that page is read again.</summary>
public partial class Recorded
{
    private const string Cookie = "backtracker-recorded";
    private bool _isNew;

    /// <summary>The request for the page.</summary>
    [CascadingParameter]
    public HttpContext Http { get; set; } = null!;

    internal static void Leave(HttpContext http) =>
        http.Response.Cookies.Append(Cookie, "1", new CookieOptions { HttpOnly = true, SameSite = SameSiteMode.Lax, MaxAge = TimeSpan.FromMinutes(1) });

    /// <inheritdoc />
    protected override void OnInitialized()
    {
        _isNew = Http.Request.Cookies.ContainsKey(Cookie) && Http.Response.StatusCode == StatusCodes.Status200OK;
        if (_isNew)
            Http.Response.Cookies.Delete(Cookie);
    }
}
