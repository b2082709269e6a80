using BackTracker.Service.Delivery;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Features.Alerts;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Features.Audit;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Calendars;
using BackTracker.Service.Features.Calibration;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.Commissions;
using BackTracker.Service.Features.Exports;
using BackTracker.Service.Features.Fit;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Imports;
using BackTracker.Service.Features.Keys;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.Pairings;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Policies;
using BackTracker.Service.Features.Priors;
using BackTracker.Service.Features.Profiles;
using BackTracker.Service.Features.Records;
using BackTracker.Service.Features.Repeatability;
using BackTracker.Service.Features.Rides;
using BackTracker.Service.Features.Saddles;
using BackTracker.Service.Features.Subscriptions;
using BackTracker.Service.Features.Templates;
using BackTracker.Service.Features.Trends;
using BackTracker.Service.Features.Visits;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Jobs;
using BackTracker.Service.Observability;
using BackTracker.Service.OpenApi;
using BackTracker.Service.Pages;
using BackTracker.Storage.Dialects;
using BackTracker.Storage.Sessions;
using Microsoft.Extensions.Logging.Console;

namespace BackTracker.Service.Hosting;

/// <summary>Puts the service together. Reads as its table of contents.</summary>
internal static class ServiceHost
{
    /// <summary>Builds the service; the store must have been prepared.</summary>
    /// <param name="options">Where it keeps its data and listens.</param>
    /// <param name="clock">The time.</param>
    public static WebApplication Build(ServeOptions options, TimeProvider clock)
    {
        var builder = WebApplication.CreateSlimBuilder(new WebApplicationOptions { ContentRootPath = AppContext.BaseDirectory });
        builder.WebHost.ConfigureKestrel(kestrel => Edge.Configure(kestrel, options));
        builder.Services.Configure<HostOptions>(host => host.ShutdownTimeout = Drain.Patience + TimeSpan.FromSeconds(5));
        builder.Services.AddSystemd(); // Tells it when requests are answered; the log is written as the settings say all the same, see below.
        builder.Services.AddLogSecrecy();
        builder.Logging.AddConsoleFormatter<TextLine, ConsoleFormatterOptions>().AddConsoleFormatter<JsonLine, ConsoleFormatterOptions>();
        builder.Services.Configure<SimpleConsoleFormatterOptions>(c => c.SingleLine = true);
        builder.Services.Configure<ConsoleLoggerOptions>(c => c.FormatterName = options.Settings.Logs.Formatter);
        builder.Services.Configure<ConsoleLoggerOptions>(builder.Configuration.GetSection("Logging:Console"));
        builder.Services.Configure<ConsoleLoggerOptions>(c => c.LogToStandardErrorThreshold = LogLevel.Trace);
        // A start that fails is told in one line by the command; what stops a running service is critical.
        builder.Logging.AddFilter("Microsoft", LogLevel.Warning)
            .AddFilter("Microsoft.Extensions.Hosting.Internal.Host", LogLevel.Critical).AddFilter("Quartz", LogLevel.Warning)
            // That cookie keys lie unencrypted in the data store is known: whoever reads the store has the records too.
            .AddFilter("Microsoft.AspNetCore.DataProtection", LogLevel.Error)
            // A form whose token cannot be read is refused, and no fault of the service.
            .AddFilter("Microsoft.AspNetCore.Antiforgery", LogLevel.None);
        AddServices(builder.Services, options, clock);
        var app = builder.Build();
        Map(app, options.Role);
        return app;
    }

    private static void AddServices(IServiceCollection services, ServeOptions options, TimeProvider clock)
    {
        services.AddSingleton(options);
        services.AddSingleton(clock);
        services.AddSingleton<Dialect>(_ => options.Dialect());
        services.AddSingleton<Database>();
        services.AddSingleton(options.Settings.Policy);
        services.AddSingleton(options.Settings.Alerts);
        services.AddSingleton(options.Settings.Pages);
        services.AddSingleton(options.Settings.Limits);
        services.AddSingleton<RateLimits>();
        services.AddSingleton<Drain>();
        services.AddHostedService(provider => provider.GetRequiredService<Drain>());
        services.AddSingleton<SchemaWatch>();
        services.AddHostedService(provider => provider.GetRequiredService<SchemaWatch>());
        services.AddSingleton<KnownKeys>();
        services.AddSingleton<Writes>();
        services.AddSingleton<Importer>();
        services.AddSingleton<ImportRecorder>();
        services.AddSingleton<ImportDesk>();
        services.AddSingleton<ImportProgress>();
        services.AddSingleton<Followed>();
        services.AddSingleton<KeptAdvice>();
        services.AddSingleton<CheckLife>();
        services.AddSingleton<VisitLife>();
        services.AddSingleton<CommissionLife>();
        services.AddSingleton<VisitProposals>();
        services.AddSingleton<Assessor>();
        services.AddJobs(options, clock);
        services.AddDelivery(options);
        services.AddMail(options);
        services.ConfigureHttpJsonOptions(json => Json.Configure(json.SerializerOptions));
        services.Configure<RouteHandlerOptions>(routes => routes.ThrowOnBadRequest = true);
        services.AddDocument();
        services.AddTelemetry();
        services.AddPages(clock, options.Settings.Pages);
    }

    private static void Map(WebApplication app, ServiceRole role)
    {
        app.UseEdge();
        app.UseMetricsPort();
        app.UseRouting();
        app.UseMiddleware<KeyAuthentication>();
        app.UseMiddleware<KnownQuery>();
        app.MapHealth();
        app.MapMetrics();
        if (role.Serves())
            MapAll(app);
        else
            app.MapNothingElse();
    }

    private static void MapAll(WebApplication app)
    {
        app.MapDocument();
        app.MapYards();
        app.MapKeys();
        app.MapAudit();
        app.MapPeople();
        app.MapHorses();
        app.MapMoves();
        app.MapPhases();
        app.MapEvents();
        app.MapRides();
        app.MapMeasurements();
        app.MapObservations();
        app.MapSaddles();
        app.MapPairings();
        app.MapPolicies();
        app.MapChecks();
        app.MapAlerts();
        app.MapQuietPeriods();
        app.MapBoards();
        app.MapCalibration();
        app.MapCommissions();
        app.MapVisits();
        app.MapVisitSheets();
        app.MapCalendars();
        app.MapAssessments();
        app.MapTrends();
        app.MapRepeatability();
        app.MapPriors();
        app.MapProfiles();
        app.MapTemplates();
        app.MapHorseRecords();
        app.MapFit();
        app.MapContact();
        app.MapImports();
        app.MapExports();
        app.MapSubscriptions();
        app.MapDeliveries();
        app.MapMessages();
        app.MapPages();
    }
}
