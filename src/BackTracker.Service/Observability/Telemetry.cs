using System.Diagnostics;
using System.Reflection;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Outbox;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.WorkQueue;
using OpenTelemetry.Instrumentation.AspNetCore;
using OpenTelemetry.Metrics;
using OpenTelemetry.Resources;
using OpenTelemetry.Trace;

namespace BackTracker.Service.Observability;

/// <summary>Metrics to be fetched, and traces where somebody collects them.</summary>
internal static class Telemetry
{
    private const string Path = "/metrics";
    private static readonly string[] Meters = [Measured.MeterName, Database.MeterName, "Microsoft.AspNetCore.Hosting", "Microsoft.AspNetCore.Server.Kestrel", "System.Runtime"];
    private static readonly string[] Collectors = ["OTEL_EXPORTER_OTLP_ENDPOINT", "OTEL_EXPORTER_OTLP_TRACES_ENDPOINT"];

    public static IServiceCollection AddTelemetry(this IServiceCollection services)
    {
        services.AddSingleton<TraceIds>();
        var telemetry = services.AddOpenTelemetry()
            .ConfigureResource(service => service.AddService("backtracker", serviceVersion: Assembly.GetExecutingAssembly().GetName().Version!.ToString(3), autoGenerateServiceInstanceId: false))
            .WithMetrics(metrics => metrics.AddMeter(Meters).AddPrometheusExporter(exporter => exporter.ScrapeResponseCacheDurationMilliseconds = 0));
        if (Collectors.Any(name => Environment.GetEnvironmentVariable(name) is { Length: > 0 }))
            telemetry.WithTracing(traces => traces.AddAspNetCoreInstrumentation(KeepPathsSecret).AddOtlpExporter());
        return services;
    }

    /// <summary>Metrics on a port of their own, for whoever is on this machine.</summary>
    public static void UseMetricsPort(this WebApplication app)
    {
        var port = app.Services.GetRequiredService<ServeOptions>().Settings.Metrics.Port;
        if (port > 0)
            app.MapWhen(http => http.Connection.LocalPort == port, branch => branch.UseOpenTelemetryPrometheusScrapingEndpoint(null, null, Path, RefreshFirst, null));
    }

    /// <summary>Metrics beside everything else, for whoever has a key.</summary>
    public static void MapMetrics(this WebApplication app)
    {
        app.Services.GetRequiredService<TraceIds>();
        app.MapPrometheusScrapingEndpoint(Path, null, RefreshFirst, null).Needs(Scope.Admin);
    }

    private static void RefreshFirst(IApplicationBuilder branch) => branch.Use(async (http, next) =>
    {
        await RefreshAsync(http.RequestServices.GetRequiredService<Database>(), http.RequestServices.GetRequiredService<TimeProvider>(), http.RequestAborted);
        await next(http);
    });

    // What waits stands in the store; nobody has to ask for it but when somebody looks.
    private static async Task RefreshAsync(Database database, TimeProvider clock, CancellationToken cancel)
    {
        Measured.BackupsSoFar();
        await using var session = await database.ReadAsync(cancel);
        Measured.OutboxLength.Record(await DeliveryStore.CountAsync(session));
        Measured.OutboxAge.Record(Age(await DeliveryStore.OldestAsync(session), clock));
        Measured.QueueLength.Record(await WorkQueueStore.CountAsync(session));
        Measured.QueueAge.Record(Age(await WorkQueueStore.OldestAsync(session), clock));
    }

    private static double Age(string? since, TimeProvider clock) => since is null ? 0 : Math.Max(0, (clock.GetUtcNow() - Instants.Read(since)).TotalSeconds);

    // The address of a calendar is its secret.
    private static void KeepPathsSecret(AspNetCoreTraceInstrumentationOptions options) => options.EnrichWithHttpResponse = (activity, response) =>
        activity.SetTag("url.path", (response.HttpContext.GetEndpoint() as RouteEndpoint)?.RoutePattern.RawText);
}

/// <summary>Gives every request a trace, that of its caller where one was sent along, whether or not anybody collects them: problems and logs name it.</summary>
internal sealed class TraceIds : IDisposable
{
    private readonly ActivityListener _listener = new()
    {
        ShouldListenTo = source => source.Name == "Microsoft.AspNetCore",
        Sample = (ref _) => ActivitySamplingResult.PropagationData,
    };

    public TraceIds() => ActivitySource.AddActivityListener(_listener);

    public void Dispose() => _listener.Dispose();
}
