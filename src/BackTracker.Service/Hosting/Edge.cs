using System.Net;
using BackTracker.Service.Http;
using Microsoft.AspNetCore.Server.Kestrel.Core;

namespace BackTracker.Service.Hosting;

/// <summary>What a request meets before it is looked at: limits of the server, and what holds for every answer.</summary>
internal static class Edge
{
    private const int MostBodyBytes = 1 << 20;
    private static readonly TimeSpan Grace = TimeSpan.FromSeconds(5);

    public static void Configure(KestrelServerOptions kestrel, ServeOptions options)
    {
        var limits = options.Settings.Limits;
        kestrel.AddServerHeader = false;
        kestrel.Limits.MaxRequestBodySize = MostBodyBytes; // A route that takes more says so itself.
        kestrel.Limits.MinRequestBodyDataRate = new MinDataRate(limits.BodyBytesPerSecond, Grace);
        kestrel.Limits.MinResponseDataRate = new MinDataRate(limits.AnswerBytesPerSecond, Grace);
        kestrel.Limits.RequestHeadersTimeout = TimeSpan.FromSeconds(limits.HeaderSeconds);
        kestrel.Limits.MaxConcurrentConnections = Descriptors.Connections(limits.Connections);
        options.Transport.Listen(kestrel, options.Port);
        if (options.Settings.Metrics.Port is > 0 and var port)
            kestrel.Listen(IPAddress.Loopback, port);
    }

    /// <summary>Begins the way of every request.</summary>
    public static void UseEdge(this WebApplication app)
    {
        // Pages ask for their cookie themselves and the API takes none: without this the host would ask at every request.
        ((IApplicationBuilder)app).Properties["__AuthenticationMiddlewareSet"] = true;
        var options = app.Services.GetRequiredService<ServeOptions>();
        if (options.Transport.Certificate is { } certificate)
            certificate.Failed += error => LogNotRenewed(app.Logger, error);
        var wanted = options.Settings.Limits.Connections;
        if (Descriptors.Connections(wanted) < wanted)
            LogFewConnections(app.Logger, Descriptors.Connections(wanted), wanted);
        options.Transport.UseProxies(app);
        app.Use((http, next) =>
        {
            SecurityHeaders.Set(http.Response);
            // Asked for the head alone, a GET runs as always; the server leaves its body out.
            if (HttpMethods.IsHead(http.Request.Method))
                http.Request.Method = HttpMethods.Get;
            return next(http);
        });
        app.UseCookiePolicy();
        app.UseMiddleware<ProblemWriter>();
        app.Use(app.Services.GetRequiredService<Drain>().CountAsync);
    }

    private static readonly Action<ILogger, Exception?> NotRenewed =
        LoggerMessage.Define(LogLevel.Warning, default, "The renewed certificate cannot be read; the one before it is shown on");

    private static readonly Action<ILogger, int, int, Exception?> FewConnections =
        LoggerMessage.Define<int, int>(LogLevel.Warning, default, "{Connections} connections are held open at once and not {Wanted}: the system lets this process open no more files (ulimit -n)");

    private static void LogFewConnections(ILogger log, int connections, int wanted) => FewConnections(log, connections, wanted, null);

    private static void LogNotRenewed(ILogger log, Exception error) => NotRenewed(log, error);
}
