using BackTracker.Service.Features.Alerts;
using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Checks;
using BackTracker.Service.Features.Commissions;
using BackTracker.Service.Features.Fit;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.Imports;
using BackTracker.Service.Features.Keys;
using BackTracker.Service.Features.Measurements;
using BackTracker.Service.Features.Observations;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Policies;
using BackTracker.Service.Features.Records;
using BackTracker.Service.Features.Subscriptions;
using BackTracker.Service.Features.Templates;
using BackTracker.Service.Features.Visits;
using BackTracker.Service.Hosting;

namespace BackTracker.Service.Pages;

/// <summary>The pages for people, served by the same process and from the same handlers as the interface for programs.</summary>
internal static class PageMap
{
    public static void AddPages(this IServiceCollection services, TimeProvider clock, PageSettings settings)
    {
        services.AddRazorComponents();
        services.AddPageSession(clock, settings);
        services.AddSingleton<CheckPageLoader>();
        services.AddSingleton<CheckList>();
        services.AddSingleton<VisitPlanner>();
        services.AddSingleton<VisitPageLoader>();
        services.AddSingleton<ObservationPages>();
        services.AddSingleton<AlertPages>();
        services.AddSingleton<CommissionPages>();
        services.AddSingleton<CommissionOrderPages>();
        services.AddSingleton<SubscriptionPages>();
    }

    /// <summary>Every page.</summary>
    public static void MapPages(this IEndpointRouteBuilder routes)
    {
        routes.MapAssets();
        routes.MapSignIn();
        routes.MapWaitingPage();
        routes.MapBoardPages();
        routes.MapPairingPages();
        routes.MapWhatIfPages();
        routes.MapVisitPages();
        CommissionPages.Map(routes);
        CommissionOrderPages.Map(routes);
        routes.MapTemplatePages();
        routes.MapMeasurePages();
        routes.MapCheckPages();
        ObservationPages.Map(routes);
        AlertPages.Map(routes);
        routes.MapHorsePages();
        routes.MapRecordPages();
        routes.MapTakeBackPages();
        routes.MapPersonPages();
        routes.MapSettingsPages();
        routes.MapKeyPages();
        routes.MapImportPages();
        SubscriptionPages.Map(routes);
        routes.MapAddressPages();
    }
}
