using System.Collections.Concurrent;
using System.Net;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;

namespace BackTracker.Benchmarks.Load;

/// <summary>An event as a receiver got it.</summary>
/// <param name="Type">What happened.</param>
/// <param name="HorseId">To which horse.</param>
/// <param name="HappenedAt">When the transaction that wrote it began.</param>
/// <param name="ArrivedAt">When it arrived.</param>
internal sealed record Told(string Type, string HorseId, DateTimeOffset HappenedAt, DateTimeOffset ArrivedAt);

/// <summary>A webhook receiver that takes everything.</summary>
internal sealed class Hooks : IAsyncDisposable
{
    private readonly ConcurrentQueue<Told> _told = new();
    private readonly WebApplication _app;

    private Hooks(WebApplication app) => _app = app;

    public IReadOnlyCollection<Told> Told => _told;

    public string Url => $"{_app.Urls.Single()}/hook";

    public static async Task<Hooks> StartAsync()
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.ConfigureKestrel(kestrel => kestrel.Listen(IPAddress.Loopback, 0));
        var hooks = new Hooks(builder.Build());
        hooks._app.Run(async http =>
        {
            var body = (await JsonNode.ParseAsync(http.Request.Body))!;
            hooks._told.Enqueue(new Told(Installation.Text(body, "type"), Installation.Text(body, "subject"), DateTimeOffset.Parse(Installation.Text(body, "time"), null), DateTimeOffset.UtcNow));
            http.Response.StatusCode = StatusCodes.Status204NoContent;
        });
        await hooks._app.StartAsync();
        return hooks;
    }

    public ValueTask DisposeAsync() => _app.DisposeAsync();
}
