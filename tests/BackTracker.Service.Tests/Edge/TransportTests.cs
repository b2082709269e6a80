using System.Net;
using System.Net.Security;
using System.Net.Sockets;
using System.Security.Authentication;
using System.Security.Cryptography.X509Certificates;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Edge;

public sealed class TransportTests
{
    private static readonly Settings TwoTries = new() { Limits = new() { FailedTriesPerMinute = 2 } };

    [Fact]
    public async Task Https_withACertificate_isTrustedByItsAuthority_andKeepsBrowsersToIt()
    {
        using var authority = new TestAuthority();
        await using var served = await ServedFolder.EmptyAsync();
        using var certificate = authority.Issue();
        served.Options = ["--listen", "0.0.0.0", .. await authority.WriteAsync(served.Folder, certificate)];
        await served.ServeAsync();
        using var client = authority.Client(served.Address.Replace("0.0.0.0", "127.0.0.1", StringComparison.Ordinal));

        using var page = await client.GetAsync("/sign-in", TestContext.Current.CancellationToken);
        using var refused = await client.GetAsync("/v1/yards", TestContext.Current.CancellationToken);

        Assert.StartsWith("https://0.0.0.0:", served.Address, StringComparison.Ordinal);
        Assert.Equal(HttpStatusCode.OK, page.StatusCode);
        Assert.All(page.Headers.GetValues("Set-Cookie"), cookie => Assert.Contains("; secure", cookie, StringComparison.Ordinal));
        Assert.All([page, refused], answer => Assert.Equal("max-age=31536000", answer.Headers.GetValues("Strict-Transport-Security").Single()));
        Assert.Equal(SslProtocols.Tls12, await HandshakeAsync(authority, served.Address, SslProtocols.Tls12));
        Assert.Equal(SslProtocols.Tls13, await HandshakeAsync(authority, served.Address, SslProtocols.Tls12 | SslProtocols.Tls13));
#pragma warning disable SYSLIB0039, CA5397 // That it is refused is what is tested.
        await Assert.ThrowsAnyAsync<Exception>(() => HandshakeAsync(authority, served.Address, SslProtocols.Tls11));
#pragma warning restore SYSLIB0039, CA5397
    }

    [Fact]
    public async Task Https_withPkcs12AndItsPassword_serves()
    {
        using var authority = new TestAuthority();
        await using var served = await ServedFolder.EmptyAsync();
        using var certificate = authority.Issue();
        var file = Path.Combine(served.Folder, "tls.pfx");
        await File.WriteAllBytesAsync(file, certificate.Export(X509ContentType.Pkcs12, "larkfield"), TestContext.Current.CancellationToken);
        served.Options = ["--certificate", file];
        served.Environment["BackTracker__Certificate__Password"] = "larkfield";
        await served.ServeAsync();
        using var client = authority.Client(served.Address);

        Assert.Equal("""{"status":"live"}""", await client.GetStringAsync("/health/live", TestContext.Current.CancellationToken));
    }

    [Fact]
    public async Task Https_certificateRenewed_isShownWithoutARestart_andAHalfWrittenOneIsNot()
    {
        using var authority = new TestAuthority();
        await using var served = await ServedFolder.EmptyAsync();
        using var first = authority.Issue();
        using var second = authority.Issue();
        served.Options = await authority.WriteAsync(served.Folder, first);
        await served.ServeAsync();
        Assert.Equal(first.SerialNumber, await SerialAsync(authority, served.Address));

        await File.WriteAllTextAsync(served.Options[1], "-----BEGIN CERTIFICATE-----\n", TestContext.Current.CancellationToken);
        Assert.Equal(first.SerialNumber, await SerialAsync(authority, served.Address));
        await authority.WriteAsync(served.Folder, second);

        await Eventually.TrueAsync(async () => await SerialAsync(authority, served.Address) == second.SerialNumber, () => "The renewed certificate is not shown.");
    }

    [Theory]
    [InlineData("would send keys in the clear", "--listen", "0.0.0.0")]
    [InlineData("would send keys in the clear", "--listen", "::")]
    [InlineData("--listen barn is no address", "--listen", "barn")]
    [InlineData("--behind-proxy barn is neither", "--behind-proxy", "10.0.0.1,barn")]
    [InlineData("name both", "--certificate-key", "tls.key")]
    [InlineData("cannot be used", "--certificate", "/nowhere/tls.pem")]
    public async Task Start_thatWouldBeUnsafeOrMakesNoSense_isRefusedInOneLine(string words, params string[] options)
    {
        await using var empty = await ServedFolder.EmptyAsync();

        var run = (await empty.RunAsync(["serve", "--port", "0", .. options])).ShouldFail(1, words);

        Assert.Single(run.Error.Split('\n', StringSplitOptions.RemoveEmptyEntries));
    }

    [Fact]
    public async Task Start_withACertificateThatHasExpired_isRefused()
    {
        using var authority = new TestAuthority();
        await using var empty = await ServedFolder.EmptyAsync();
        using var expired = authority.Issue(endsInDays: -1);

        (await empty.RunAsync(["serve", "--port", "0", .. await authority.WriteAsync(empty.Folder, expired)])).ShouldFail(1, "expired on");
    }

    [Fact]
    public async Task Forwarded_byANamedProxy_isBelieved()
    {
        await using var service = await RunningService.StartAsync(settings: TwoTries, transport: new Transport { Proxies = [IPNetwork.Parse("127.0.0.0/8")] });

        var first = await ForwardedAsync(service, "203.0.113.9");
        await ForwardedAsync(service, "203.0.113.9");
        var refused = await ForwardedAsync(service, "203.0.113.9");
        var other = await ForwardedAsync(service, "203.0.113.10");

        Assert.NotEmpty(first["Strict-Transport-Security"]);
        Assert.Equal([401, 429, 401], [first.Status, refused.Status, other.Status]);
        // Whoever stands before the proxy says what they like; the last word is the proxy's.
        Assert.Equal(429, (await ForwardedAsync(service, "198.51.100.1, 203.0.113.9")).Status);
    }

    [Fact]
    public async Task Forwarded_byAnybodyElse_isNot()
    {
        await using var service = await RunningService.StartAsync(settings: TwoTries, transport: new Transport { Proxies = [IPNetwork.Parse("10.9.9.9/32")] });

        var first = await ForwardedAsync(service, "203.0.113.9");
        await ForwardedAsync(service, "203.0.113.10");
        var third = await ForwardedAsync(service, "203.0.113.11");

        Assert.Empty(first["Strict-Transport-Security"]);
        Assert.Equal(429, third.Status);
    }

    [Fact]
    public async Task Forwarded_host_standsInTheAddressesThatAreGiven_whereTheProxyIsNamed()
    {
        await using var service = await RunningService.StartAsync(transport: new Transport { Proxies = [IPNetwork.Parse("127.0.0.1/32")] });
        var yardId = await service.Admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "UTC" });
        var personId = await service.Admin.MakeAsync("/v1/people", new { name = "Isla Brook", role = "fitter", yardIds = new[] { yardId } });

        var told = await service.Admin.PostAsync($"/v1/people/{personId}/calendar-token", null, ("X-Forwarded-For", "203.0.113.9"), ("X-Forwarded-Proto", "https"), ("X-Forwarded-Host", "horses.test"));

        Assert.StartsWith("https://horses.test/v1/calendars/", told["url"]!.GetValue<string>(), StringComparison.Ordinal);
    }

    private static Task<RawAnswer> ForwardedAsync(RunningService service, string forwardedFor) =>
        RawHttp.AskAsync(service.Address, "GET", "/v1/yards", $"X-Forwarded-For: {forwardedFor}\r\nX-Forwarded-Proto: https\r\nX-Forwarded-Host: horses.test\r\n");

    private static async Task<SslProtocols> HandshakeAsync(TestAuthority authority, string address, SslProtocols protocols)
    {
        using var ssl = await ConnectAsync(authority, address, protocols);
        return ssl.SslProtocol;
    }

    private static async Task<string> SerialAsync(TestAuthority authority, string address)
    {
        using var ssl = await ConnectAsync(authority, address, SslProtocols.None);
        return ((X509Certificate2)ssl.RemoteCertificate!).SerialNumber;
    }

    private static async Task<SslStream> ConnectAsync(TestAuthority authority, string address, SslProtocols protocols)
    {
        var tcp = new TcpClient();
        await tcp.ConnectAsync(IPAddress.Loopback, new Uri(address).Port, TestContext.Current.CancellationToken);
        var ssl = new SslStream(tcp.GetStream());
        var options = authority.Trust();
        options.EnabledSslProtocols = protocols;
        await ssl.AuthenticateAsClientAsync(options, TestContext.Current.CancellationToken);
        return ssl;
    }
}
