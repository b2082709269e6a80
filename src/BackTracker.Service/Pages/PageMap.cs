using BackTracker.Service.Features.Boards;
using BackTracker.Service.Features.Horses;

namespace BackTracker.Service.Pages;

/// <summary>The pages for people, served by the same process and from the same handlers as the interface for programs.</summary>
internal static class PageMap
{
    public static void AddPages(this IServiceCollection services, TimeProvider clock)
    {
        services.AddRazorComponents();
        services.AddPageSession(clock);
    }

    /// <summary>Every page.</summary>
    public static void MapPages(this IEndpointRouteBuilder routes)
    {
        routes.MapAssets();
        routes.MapSignIn();
        routes.MapBoardPages();
        routes.MapHorsePages();
    }
}
