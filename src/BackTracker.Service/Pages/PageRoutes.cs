using BackTracker.Service.Http;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http.HttpResults;

namespace BackTracker.Service.Pages;

/// <summary>Marks a route that answers people with a page, errors too.</summary>
internal sealed record IsPage;

/// <summary>Ways to write the routes of pages. They take the cookie, never a key; the interface for programs takes a key, never the cookie.</summary>
internal static class PageRoutes
{
    /// <summary>A page that is read.</summary>
    public static RouteHandlerBuilder MapPage(this IEndpointRouteBuilder routes, string pattern, Delegate handler) =>
        routes.MapGet(pattern, handler).WithMetadata(new IsPage()).ExcludeFromDescription();

    /// <summary>A form that is sent. Refused without the token of the page it stands on.</summary>
    public static RouteHandlerBuilder MapForm(this IEndpointRouteBuilder routes, string pattern, Delegate handler) =>
        routes.MapPost(pattern, handler).WithMetadata(new IsPage()).ExcludeFromDescription().AddEndpointFilter(async (context, next) =>
        {
            var http = context.HttpContext;
            if (!await http.RequestServices.GetRequiredService<IAntiforgery>().IsRequestValidAsync(http))
                throw new ProblemException(ProblemKind.Malformed, "The form was not sent from a page of this service, or that page is too old. Open the page again and send it from there.");
            return await next(context);
        });

    /// <summary>Shows a component with what it shows.</summary>
    public static RazorComponentResult Show<TComponent>(HttpContext http, object model, int status = StatusCodes.Status200OK) where TComponent : IComponent
    {
        SecurityHeaders.AllowPage(http.Response);
        return new(typeof(TComponent), new Dictionary<string, object?> { ["Model"] = model }) { StatusCode = status, PreventStreamingRendering = true };
    }
}
