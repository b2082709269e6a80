using System.Security.Claims;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Storage.Sessions;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.DataProtection.KeyManagement;
using Microsoft.Extensions.Options;

namespace BackTracker.Service.Pages;

/// <summary>Who is signed in to the pages: a cookie of twelve hours that names a key and dies with it.</summary>
internal static class PageSession
{
    private const string Scheme = "pages";
    private const string KeyClaim = "key";
    private const string WhoClaim = "who";
    private const string FormCookie = "backtracker-form";
    private static readonly TimeSpan Lasts = TimeSpan.FromHours(12);
    private static readonly TimeSpan Tolerance = TimeSpan.FromMinutes(5);

    public static void AddPageSession(this IServiceCollection services, TimeProvider clock, PageSettings settings)
    {
        // For every cookie alike; a form's own setting would refuse what comes through a proxy.
        services.Configure<CookiePolicyOptions>(options => options.Secure = settings.SecureCookies ? CookieSecurePolicy.Always : CookieSecurePolicy.SameAsRequest);
        services.AddDataProtection().SetApplicationName("backtracker");
        services.AddSingleton<IConfigureOptions<KeyManagementOptions>>(provider => new ConfigureOptions<KeyManagementOptions>(
            options => options.XmlRepository = new StoredProtectionKeys(provider.GetRequiredService<Database>())));
        services.AddAntiforgery(options =>
        {
            options.Cookie.Name = FormCookie;
            options.Cookie.MaxAge = Lasts;
        });
        services.AddAuthentication().AddCookie(Scheme, options =>
        {
            options.Cookie.Name = "backtracker";
            options.Cookie.HttpOnly = true;
            options.Cookie.SameSite = SameSiteMode.Lax;
            options.ExpireTimeSpan = Lasts;
            options.SlidingExpiration = false;
            options.TimeProvider = clock;
            options.Events.OnValidatePrincipal = context =>
            {
                // Begun while the clock was ahead: set back since, it would last longer than it may, or again. Or begun by a release that did not say whose it is.
                if (context.Properties.IssuedUtc > clock.GetUtcNow() + Tolerance || context.Principal?.HasClaim(claim => claim.Type == WhoClaim) != true)
                    context.RejectPrincipal();
                return Task.CompletedTask;
            };
        });
    }

    public static Task BeginAsync(HttpContext http, Caller caller)
    {
        // The same cookie of forms for another twelve hours: forms filled in before are still taken.
        if (http.Request.Cookies[FormCookie] is { } forms)
            http.Response.Cookies.Append(FormCookie, forms, http.RequestServices.GetRequiredService<IOptions<AntiforgeryOptions>>().Value.Cookie.Build(http));
        return http.SignInAsync(Scheme, new ClaimsPrincipal(new ClaimsIdentity([new Claim(KeyClaim, caller.KeyId), new Claim(WhoClaim, caller.Who)], Scheme)));
    }

    public static Task EndAsync(HttpContext http) => http.SignOutAsync(Scheme);

    /// <summary>Whose what is typed on a page is, see <see cref="Caller.Who"/>; null where nobody is signed in.</summary>
    public static async Task<string?> WhoAsync(HttpContext http) => (await http.AuthenticateAsync(Scheme)).Principal?.FindFirstValue(WhoClaim);

    /// <summary>Id of the key that is signed in; null where nobody is.</summary>
    public static async Task<string?> KeyIdAsync(HttpContext http) => (await http.AuthenticateAsync(Scheme)).Principal?.FindFirstValue(KeyClaim);
}
