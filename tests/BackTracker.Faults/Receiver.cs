using System.Collections.Concurrent;
using System.Net;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;

namespace BackTracker.Faults;

/// <summary>A webhook on loopback that writes down what it was told, in order.</summary>
internal sealed class Receiver : IAsyncDisposable
{
    private readonly WebApplication _app;
    private readonly ConcurrentQueue<JsonNode> _received = new();

    private Receiver(WebApplication app) => _app = app;

    public IReadOnlyList<JsonNode> Received => [.. _received];

    public string Url => _app.Urls.Single() + "/hook";

    public static async Task<Receiver> StartAsync()
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.ConfigureKestrel(kestrel => kestrel.Listen(IPAddress.Loopback, 0));
        var app = builder.Build();
        var receiver = new Receiver(app);
        app.Run(async http =>
        {
            receiver._received.Enqueue((await JsonNode.ParseAsync(http.Request.Body, cancellationToken: http.RequestAborted))!);
            http.Response.StatusCode = StatusCodes.Status204NoContent;
        });
        await app.StartAsync(TestContext.Current.CancellationToken);
        return receiver;
    }

    public ValueTask DisposeAsync() => _app.DisposeAsync();
}
