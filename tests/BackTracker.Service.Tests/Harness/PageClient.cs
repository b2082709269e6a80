using System.Net;
using System.Text.RegularExpressions;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A browser as far as forms go: it keeps cookies, goes nowhere by itself, and sends a form with the token of the page it stands on.</summary>
internal sealed partial class PageClient : IDisposable
{
    public const string Token = "__RequestVerificationToken";
    private const int LargeBody = 1 << 16;
    private readonly string _key;
    private readonly HttpClient _http;

    public PageClient(RunningService service) : this(service.Address, service.AdminKey)
    {
    }

    /// <summary>One for a service at an address, where somebody has a key.</summary>
    public PageClient(string address, string key)
    {
        _key = key;
        _http = new HttpClient(new SocketsHttpHandler { CookieContainer = Cookies, AllowAutoRedirect = false, Expect100ContinueTimeout = TimeSpan.FromMinutes(1) }) { BaseAddress = new Uri(address) };
        _http.DefaultRequestHeaders.Accept.ParseAdd("text/html");
    }

    public CookieContainer Cookies { get; } = new();

    /// <summary>Somebody who may do everything, signed in.</summary>
    public static async Task<PageClient> SignedInAsync(RunningService service)
    {
        var client = new PageClient(service);
        (await client.SignInAsync()).Should(HttpStatusCode.Found);
        return client;
    }

    public async Task<Reply> SignInAsync(string to = "/") => await FillAsync("/sign-in", "/sign-in", ("key", _key), ("to", to));

    public Task<Reply> GetAsync(string path) => SendAsync(HttpMethod.Get, path, null);

    /// <summary>The token of a page that holds a form.</summary>
    public async Task<string> TokenAsync(string page) =>
        TokenField().Match((await GetAsync(page)).Should(HttpStatusCode.OK).Text) is { Success: true } found ? found.Groups[1].Value : throw new InvalidOperationException($"{page} holds no form.");

    /// <summary>Fills in a form of a page and sends it.</summary>
    public async Task<Reply> FillAsync(string page, string form, params (string Name, string Value)[] fields) =>
        await PostAsync(form, [(Token, await TokenAsync(page)), .. fields]);

    public Task<Reply> PostAsync(string form, params (string Name, string Value)[] fields) =>
        SendAsync(HttpMethod.Post, form, new FormUrlEncodedContent(fields.Select(field => KeyValuePair.Create(field.Name, field.Value))));

    public async Task<Reply> SendAsync(HttpMethod method, string path, HttpContent? content, string? accept = null)
    {
        using var request = new HttpRequestMessage(method, path) { Content = content };
        // The server may refuse a large body unread and hang up: ask before sending it, so that the refusal is read and not lost.
        request.Headers.ExpectContinue = content?.Headers.ContentLength > LargeBody;
        if (accept is not null)
            request.Headers.Accept.ParseAdd(accept);
        using var response = await _http.SendAsync(request, TestContext.Current.CancellationToken);
        return new Reply(response.StatusCode, response.Headers, response.Content.Headers, await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
    }

    public void Dispose() => _http.Dispose();

    [GeneratedRegex($"name=\"{Token}\" value=\"([^\"]+)\"")]
    private static partial Regex TokenField();
}
