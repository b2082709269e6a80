using System.Collections.Concurrent;
using System.Globalization;
using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A request as a receiver got it.</summary>
internal sealed record ReceivedEvent(IReadOnlyDictionary<string, string> Headers, string Body)
{
    public string Id => Headers["webhook-id"];

    public JsonNode Json => JsonNode.Parse(Body)!;

    public string Type => Json["type"]!.GetValue<string>();

    public string HorseId => Json["subject"]!.GetValue<string>();

    public string Sequence => Json["sequence"]!.GetValue<string>();
}

/// <summary>A real HTTP server on loopback that somebody subscribed.</summary>
internal sealed class Receiver : IAsyncDisposable
{
    private readonly WebApplication _app;
    private readonly ConcurrentQueue<ReceivedEvent> _received = new();

    private Receiver(WebApplication app) => _app = app;

    /// <summary>Everything received, in order, whatever was answered.</summary>
    public IReadOnlyList<ReceivedEvent> Received => [.. _received];

    public string Url => string.Create(CultureInfo.InvariantCulture, $"{_app.Urls.Single()}/hook");

    /// <summary>One that answers every request with 204.</summary>
    public static Task<Receiver> StartAsync() => StartAsync((http, _) => Answer(http, 204));

    /// <summary>One that answers as told; it is handed what came.</summary>
    public static async Task<Receiver> StartAsync(Func<HttpContext, ReceivedEvent, Task> answer, string scheme = "http")
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.ConfigureKestrel(kestrel => kestrel.Listen(IPAddress.Loopback, 0, listen =>
        {
            if (scheme == "https")
                listen.UseHttps(SelfSigned.Certificate());
        }));
        var app = builder.Build();
        var receiver = new Receiver(app);
        app.Run(async http =>
        {
            using var reader = new StreamReader(http.Request.Body, Encoding.UTF8);
            var got = new ReceivedEvent(http.Request.Headers.ToDictionary(h => h.Key, h => h.Value.ToString(), StringComparer.OrdinalIgnoreCase), await reader.ReadToEndAsync());
            receiver._received.Enqueue(got);
            await answer(http, got);
        });
        await app.StartAsync(TestContext.Current.CancellationToken);
        return receiver;
    }

    /// <summary>An address on loopback at which nobody listens.</summary>
    public static string NobodyAt() => string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{Ports.Free()}/hook");

    public static Task Answer(HttpContext http, int status, string body = "")
    {
        http.Response.StatusCode = status;
        return http.Response.WriteAsync(body, http.RequestAborted);
    }

    public Task GotAsync(int count) => Eventually.TrueAsync(() => Task.FromResult(_received.Count >= count), () => $"{_received.Count} of {count} came.");

    public ValueTask DisposeAsync() => _app.DisposeAsync();
}
