using BackTracker.Service.Http;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Http.HttpResults;

namespace BackTracker.Service.Pages;

/// <summary>Marks a route that answers people with a page, errors too.</summary>
internal sealed record IsPage;

#pragma warning disable RDG002 // Handlers of pages are bound when the service starts: they come here as values.
/// <summary>Ways to write the routes of pages. They take the cookie, never a key; the interface for programs takes a key, never the cookie.</summary>
internal static class PageRoutes
{
    /// <summary>A page that is read.</summary>
    public static RouteHandlerBuilder MapPage(this IEndpointRouteBuilder routes, string pattern, Delegate handler) =>
        routes.MapGet(pattern, handler).WithMetadata(new IsPage()).ExcludeFromDescription();

    /// <summary>A form that is sent. Refused without the token of the page it stands on.</summary>
    public static RouteHandlerBuilder MapForm(this IEndpointRouteBuilder routes, string pattern, Delegate handler)
    {
        // A phone opens the address of a refused form anew; where no page has that address, the form stands on the one above.
        routes.MapGet(pattern, (HttpContext http) => Results.LocalRedirect(Above(http.Request.Path))).WithOrder(1).WithMetadata(new IsPage()).ExcludeFromDescription();
        return routes.MapPost(pattern, handler).WithMetadata(new IsPage()).ExcludeFromDescription().AddEndpointFilter(async (context, next) =>
        {
            await ReadAsync(context.HttpContext);
            return await next(context);
        });
    }

    /// <summary>Shows a component with what it shows.</summary>
    public static RazorComponentResult Show<TComponent>(HttpContext http, object model, int status = StatusCodes.Status200OK) where TComponent : IComponent
    {
        SecurityHeaders.AllowPage(http.Response);
        return new(typeof(TComponent), new Dictionary<string, object?> { ["Model"] = model }) { StatusCode = status, PreventStreamingRendering = true };
    }

    private static string Above(PathString path)
    {
        var address = path.ToUriComponent();
        return address[..Math.Max(1, address.LastIndexOf('/'))];
    }

    // What a page of this service would never send is the sender's fault, whichever way the framework stumbles over it.
    private static async Task ReadAsync(HttpContext http)
    {
        if (!http.Request.HasFormContentType)
            throw new ProblemException(ProblemKind.MediaType with { Title = "The form could not be read" }, "What was sent is no form. Open the page again and send it from there.");
        try
        {
            await http.Request.ReadFormAsync(http.RequestAborted);
        }
        catch (Exception error) when (error is InvalidDataException or NotSupportedException or IOException and not BadHttpRequestException)
        {
            throw new ProblemException(ProblemKind.Malformed, "The form could not be read: it is cut off, or holds what no page of this service sends. Open the page again and send it from there.");
        }
        if (!await http.RequestServices.GetRequiredService<IAntiforgery>().IsRequestValidAsync(http))
            throw new ProblemException(ProblemKind.Malformed, "Nothing was recorded: the page this form stands on is too old, or is not of this service. Open the page in another window, copy over what you filled in, and send it from there.");
    }
}
