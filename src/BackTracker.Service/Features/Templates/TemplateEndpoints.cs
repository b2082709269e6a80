using BackTracker.Engine.Checks;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Commissions;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Http;
using BackTracker.Service.OpenApi;
using BackTracker.Service.Pages;
using BackTracker.Service.Paper;
using BackTracker.Storage;
using BackTracker.Storage.Commissions;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Templates;

/// <summary>The back at its full size, to be printed and cut by.</summary>
internal static class TemplateEndpoints
{
    public static void MapTemplates(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/v1/horses/{id}/template.pdf", OfHorseAsync).WithTags("Profiles").Needs(Scope.Read)
            .Prints("The traced back at full size, one station after the other, with lines of 100 mm to check the printer by; `on` adds the shape expected that day").Refuses(ProblemKind.Conflict);
        routes.MapGet("/v1/commissions/{id}/templates/{templateId}/template.pdf", OfCommissionAsync).WithTags("Commissions").Needs(Scope.Read)
            .Prints("A template as it was sent, at full size").Refuses(ProblemKind.Conflict);
    }

    public static void MapTemplatePages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/horses/{id}/template.pdf", OfHorseAsync).Needs(Scope.Read);
        routes.MapPage("/commissions/{id}/templates/{templateId}/template.pdf", OfCommissionAsync).Needs(Scope.Read);
    }

    private static async Task<IResult> OfHorseAsync(
        HttpContext http, string id, string? station, string? measurementId, QueryDay? on, [WordsOf(typeof(PaperKind))] string? paper, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var (asked, kind) = (StationOf(station), QueryWord.Of<PaperKind>(nameof(paper), paper) ?? PaperKind.A4);
        return Print(http, await new TemplateBuilder(session, caller, horse, clock, policy).OfMeasurementAsync(measurementId, asked, on?.Day), kind);
    }

    private static async Task<IResult> OfCommissionAsync(
        HttpContext http, string id, string templateId, string? station, [WordsOf(typeof(PaperKind))] string? paper, Caller caller, Database database, TimeProvider clock, CheckPolicy policy, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var commission = await CommissionEndpoints.RequireAsync(session, caller, id);
        var template = await CommissionRecords.FindTemplateAsync(session, commission.Id, Ids.Canonical(templateId) ?? "") ?? throw ProblemException.NotFound("template", templateId);
        var (asked, kind) = (StationOf(station), QueryWord.Of<PaperKind>(nameof(paper), paper) ?? PaperKind.A4);
        var horse = await HorseEndpoints.RequireAsync(session, caller, commission.HorseId);
        return Print(http, await new TemplateBuilder(session, caller, horse, clock, policy).OfTemplateAsync(template, asked), kind);
    }

    private static Station? StationOf(string? station) => station is null ? null : QueryWord.Station(station);

    private static IResult Print(HttpContext http, TemplateSheet sheet, PaperKind paper) =>
        PaperAnswer.Of(http, $"template-{Instants.WriteDay(sheet.MeasuredOn)}", TemplatePaper.Print(sheet, paper));
}
