using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using BackTracker.Service.Demo;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Sessions;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Playwright;

namespace BackTracker.Browser.Tests.Harness;

/// <summary>The service over https under a name of its own, and a browser that knows both: what phones keep, they keep nowhere else.</summary>
public sealed class SecureYard : IAsyncLifetime
{
    private const string Name = "yard.test";
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-https-").FullName;
    private TestStore _store = null!;
    private WebApplication _app = null!;
    private IPlaywright? _playwright;
    private IBrowser? _browser;
    private HttpClient _beside = null!;

    internal ApiClient Api { get; private set; } = null!;

    /// <summary>The same for what is no JSON.</summary>
    internal HttpClient Http { get; private set; } = null!;

    /// <summary>Secret of a key that may do everything.</summary>
    internal string Secret { get; private set; } = "";

    private string Address => $"https://{Name}:{new Uri(_app.Urls.First()).Port}";

    public async ValueTask InitializeAsync()
    {
        if (Environment.GetEnvironmentVariable("BACKTRACKER_TEST_CHROMIUM") is not { Length: > 0 } chromium)
            return;
        using var certificate = SelfSigned.Certificate(Name);
        var file = Path.Combine(_folder, "yard.pfx");
        await File.WriteAllBytesAsync(file, certificate.Export(X509ContentType.Pkcs12));
        await ServeAsync(new Transport { Certificate = new CertificateFiles(file, null, "") }, certificate.GetCertHashString());
        _playwright = await Playwright.CreateAsync();
        var trusted = Convert.ToBase64String(SHA256.HashData(certificate.PublicKey.ExportSubjectPublicKeyInfo()));
        _browser = await _playwright.Chromium.LaunchAsync(new()
        {
            ExecutablePath = chromium,
            Args = [.. Browsing.Quiet, $"--host-resolver-rules=MAP {Name} 127.0.0.1", $"--ignore-certificate-errors-spki-list={trusted}"],
        });
    }

    private async Task ServeAsync(Transport transport, string print)
    {
        var cancel = TestContext.Current.CancellationToken;
        _store = await TestStore.CreateAsync(StoreKind.Sqlite);
        // The clock of a browser and its workers cannot be held: the service goes by the same.
        _app = ServiceHost.Build(new ServeOptions { DataFolder = _store.Folder, Port = 0, Transport = transport, Role = ServiceRole.Api, Settings = new() }, TimeProvider.System);
        var database = _app.Services.GetRequiredService<Database>();
        await database.PrepareAsync(cancel);
        await _app.StartAsync(cancel);
        var (_, secret) = await DemoYard.MakeKeyAsync(database, "tests", cancel);
        HttpClient Client() => new(new SocketsHttpHandler
        {
            AllowAutoRedirect = false,
            UseCookies = false,
            SslOptions = new() { RemoteCertificateValidationCallback = (_, shown, _, _) => shown?.GetCertHashString() == print },
        })
        { BaseAddress = new Uri(_app.Urls.First()) };
        (Http, _beside, Secret) = (Client(), Client(), secret);
        Http.DefaultRequestHeaders.Authorization = new("Bearer", secret);
        Api = new ApiClient(Http);
    }

    /// <summary>A phone that nobody has used yet.</summary>
    internal async Task<Phone> PhoneAsync()
    {
        Assert.SkipWhen(_browser is null, "No Chromium: scripts/with-chromium installs one where it can and names it in BACKTRACKER_TEST_CHROMIUM.");
        var context = await _browser.NewContextAsync(new() { BaseURL = Address, ViewportSize = new() { Width = 360, Height = 740 }, HasTouch = true, Locale = "en-GB", TimezoneId = "Europe/London" });
        context.SetDefaultTimeout(15_000);
        return new Phone(context, Address);
    }

    /// <summary>Has a request reach the service without the browser, which never hears the answer.</summary>
    internal async Task<HttpStatusCode> LoseAnswerAsync(IRoute route)
    {
        using var request = new HttpRequestMessage(HttpMethod.Parse(route.Request.Method), new Uri(route.Request.Url).PathAndQuery) { Content = new ByteArrayContent(route.Request.PostDataBuffer!) };
        var headers = await route.Request.AllHeadersAsync();
        request.Content.Headers.TryAddWithoutValidation("Content-Type", headers["content-type"]);
        request.Headers.TryAddWithoutValidation("Cookie", headers["cookie"]);
        using var answer = await _beside.SendAsync(request, TestContext.Current.CancellationToken);
        await route.AbortAsync();
        return answer.StatusCode;
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
            _playwright!.Dispose();
            await _app.StopAsync();
            await _app.DisposeAsync();
            await _store.DisposeAsync();
        }
        Directory.Delete(_folder, recursive: true);
    }
}

/// <summary>A phone: its tabs come and go, its signal too.</summary>
internal sealed class Phone(IBrowserContext context, string address) : IAsyncDisposable
{
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(30);

    public Window Tab { get; private set; } = null!;

    public IPage Page => Tab.Page;

    public Task SignalAsync(Signal signal) => context.SetOfflineAsync(signal == Signal.None);

    /// <summary>As when the sign-in has lasted its hours.</summary>
    public Task ForgetSignInAsync() => context.ClearCookiesAsync();

    public async Task OpenAsync(string path)
    {
        if (Tab is not null)
            await Page.CloseAsync();
        Tab = new Window(context, await context.NewPageAsync(), address);
        await Page.GotoAsync(path);
    }

    /// <summary>Signs somebody in, and waits until the forms of the board are on the phone.</summary>
    public async Task SignInAsync(string secret, string form)
    {
        await OpenAsync("/sign-in");
        await Tab.SignInAsync(secret);
        await HoldsAsync($"navigator.serviceWorker.controller && await caches.match('{form}')");
    }

    /// <summary>Waits on the page until something holds there; what is polled from outside cannot be awaited.</summary>
    public Task HoldsAsync(string condition) => Page.EvaluateAsync($"async () => {{ while (!({condition})) await new Promise(next => setTimeout(next, 20)); }}").WaitAsync(Longest);

    public Task<int> DraftsAsync() => Page.EvaluateAsync<int>("() => Object.keys(localStorage).filter(key => key.startsWith('draft ')).length");

    /// <summary>Everything the phone keeps of the service.</summary>
    public Task<string> KeptAsync() => Page.EvaluateAsync<string>(
        "async () => { let all = JSON.stringify(localStorage); for (const name of await caches.keys()) { const cache = await caches.open(name); for (const request of await cache.keys()) all += await (await cache.match(request)).text(); } return all; }");

    public async ValueTask DisposeAsync() => await context.DisposeAsync();
}

internal enum Signal
{
    None,
    Good,
}
