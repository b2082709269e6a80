using System.Security.Claims;
using BackTracker.Storage.Sessions;
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
    private static readonly TimeSpan Lasts = TimeSpan.FromHours(12);

    public static void AddPageSession(this IServiceCollection services, TimeProvider clock)
    {
        services.AddDataProtection().SetApplicationName("backtracker");
        services.AddSingleton<IConfigureOptions<KeyManagementOptions>>(provider => new ConfigureOptions<KeyManagementOptions>(
            options => options.XmlRepository = new StoredProtectionKeys(provider.GetRequiredService<Database>())));
        services.AddAntiforgery(options =>
        {
            options.Cookie.Name = "backtracker-form";
            options.Cookie.SecurePolicy = CookieSecurePolicy.SameAsRequest;
        });
        services.AddAuthentication().AddCookie(Scheme, options =>
        {
            options.Cookie.Name = "backtracker";
            options.Cookie.HttpOnly = true;
            options.Cookie.SameSite = SameSiteMode.Lax;
            options.ExpireTimeSpan = Lasts;
            options.SlidingExpiration = false;
            options.TimeProvider = clock;
        });
    }

    public static Task BeginAsync(HttpContext http, string keyId) =>
        http.SignInAsync(Scheme, new ClaimsPrincipal(new ClaimsIdentity([new Claim(KeyClaim, keyId)], Scheme)));

    public static Task EndAsync(HttpContext http) => http.SignOutAsync(Scheme);

    /// <summary>Id of the key that is signed in; null where nobody is.</summary>
    public static async Task<string?> KeyIdAsync(HttpContext http) => (await http.AuthenticateAsync(Scheme)).Principal?.FindFirstValue(KeyClaim);
}
