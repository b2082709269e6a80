using System.Globalization;
using BackTracker.Engine.Measures;
using BackTracker.Service.Features.Horses;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Storage;
using BackTracker.Storage.Horses;
using BackTracker.Storage.Measurements;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Measurements;

/// <summary>The form that is filled in beside the horse, and the page that says at once what to take again.</summary>
internal static class MeasurePages
{
    public static void MapMeasurePages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/horses/{id}/measure", AskAsync).Needs(Scope.Record);
        routes.MapForm("/horses/{id}/measure", TakeAsync).Needs(Scope.Record);
        routes.MapPage("/measurements/{id}", ShowAsync).Needs(Scope.Read);
        routes.MapForm("/measurements/{id}/void", VoidAsync).Needs(Scope.Record);
    }

    private static async Task<IResult> AskAsync(HttpContext http, string id, string? by, string? corrects, Caller caller, Database database, TimeProvider clock) =>
        PageRoutes.Show<MeasurePage>(http, await FormAsync(http, id, by, corrects, caller, database, clock));

    // The form's own mark is the id of the measurement: however often it is sent, it is recorded once.
    private static async Task<IResult> TakeAsync(HttpContext http, string id, string? by, Caller caller, Database database, Writes writes, TimeProvider clock)
    {
        var fields = await http.Request.ReadFormAsync(http.RequestAborted);
        var form = MeasureForm.Read(fields, await ZoneAsync(http, id, caller, database));
        var measurementId = Ids.Canonical(fields["once"]) ?? throw new ProblemException(ProblemKind.Malformed, "The form came without its mark. Open it again and send it from there.");
        return await FormPost.TakeAsync(
            http, form,
            () =>
            {
                RequireSame(fields["who"].ToString(), caller);
                return MeasurementEndpoints.RecordOnceAsync(http, measurementId, form.Read<ClientMeasurementRequest>() with { HorseId = id }, caller, writes);
            },
            $"/measurements/{measurementId}",
            async state => PageRoutes.Show<MeasurePage>(http, await FormAsync(http, id, by, fields["/corrects"], caller, database, clock) with { Form = state }, StatusCodes.Status422UnprocessableEntity));
    }

    // A phone goes from hand to hand: what one typed is not recorded as another's.
    private static void RequireSame(string who, Caller caller)
    {
        if (who.Length > 0 && who != caller.Who)
            throw new ProblemException(ProblemKind.Conflict, "This was filled in while somebody else was signed in. Look at who measured, and send it again if it is yours.");
    }

    private static async Task<string> ZoneAsync(HttpContext http, string id, Caller caller, Database database)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        return (await HorseEndpoints.RequireAsync(session, caller, id)).TimeZone;
    }

    private static async Task<MeasureModel> FormAsync(HttpContext http, string id, string? by, string? corrects, Caller caller, Database database, TimeProvider clock)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var horse = await HorseEndpoints.RequireAsync(session, caller, id);
        var before = string.IsNullOrEmpty(corrects) ? null : await MeasurementEndpoints.RequireAsync(session, caller, corrects);
        var values = before is null ? new MeasuredValues() : Json.ReadStored<MeasuredValues>(before.Body);
        var places = MeasureForm.Places(ReadBy(by), values);
        var people = caller.PersonId is null ? await PeopleAsync(session, caller, horse) : [];
        var usual = before ?? (await MeasurementStore.LiveOfHorseAsync(session, horse.Id) is [.., var last] ? last : null);
        return new MeasureModel
        {
            Horse = new Named(horse.Id, horse.Name),
            Yard = await Named.YardAsync(session, caller, horse.YardId),
            Zone = horse.TimeZone,
            Who = caller.Who,
            People = people,
            Places = places,
            Corrects = before?.Id ?? "",
            Form = FormState.New(
                clock,
                [
                    .. before is null ? [] : MeasureForm.Filled(values, places),
                    ("/measuredAt", MeasureForm.Clock(horse.TimeZone, before is null ? clock.GetUtcNow() : Instants.Read(before.MeasuredAt))),
                    ("/method", usual?.Method ?? Words.Write(MeasuringMethod.FlexibleCurve)),
                    ("/exercise", before?.Exercise ?? Words.Write(Engine.Assessments.ExerciseState.Before)),
                    ("/measuredBy", usual?.MeasuredBy ?? ""),
                ]),
        };
    }

    private static MeasureBy ReadBy(string? by) => QueryWord.Check<MeasureBy>(nameof(by), by) is { } word ? Words.Read<MeasureBy>(word) : MeasureBy.Widths;

    private static async Task<IReadOnlyList<(string Value, string Text)>> PeopleAsync(ReadSession session, Caller caller, HorseRow horse) =>
    [
        ("", "Choose who"),
        .. (await PersonChoices.OfYardAsync(session, caller, horse.YardId)).Select(person => (person.Id, person.Name)),
    ];

    private static async Task<IResult> ShowAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock) =>
        PageRoutes.Show<MeasurementPage>(http, await ResultAsync(http, id, caller, database, clock));

    private static async Task<IResult> VoidAsync(HttpContext http, string id, Caller caller, Database database, Writes writes, TimeProvider clock)
    {
        var form = new FormJson(await http.Request.ReadFormAsync(http.RequestAborted));
        var shown = await ResultAsync(http, id, caller, database, clock);
        return await FormPost.TakeAsync(
            http, form,
            () => MeasurementEndpoints.VoidAsync(http, id, form.Read<VoidRequest>(), caller, writes),
            $"/measurements/{shown.Measurement.Id}",
            state => Task.FromResult<IResult>(PageRoutes.Show<MeasurementPage>(http, shown with { Form = state }, StatusCodes.Status422UnprocessableEntity)));
    }

    private static async Task<MeasurementModel> ResultAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock)
    {
        await using var session = await database.ReadAsync(http.RequestAborted);
        var row = await MeasurementEndpoints.RequireAsync(session, caller, id);
        var horse = await HorseEndpoints.RequireAsync(session, caller, row.HorseId);
        return new MeasurementModel
        {
            Measurement = MeasurementAnswer.Of(row),
            Horse = new Named(horse.Id, horse.Name),
            Yard = await Named.YardAsync(session, caller, horse.YardId),
            Circumstances = $"{Local(horse, row)}, {await Measurements.Circumstances.OfAsync(session, caller, row)}.",
            MayRecord = caller.May(Scope.Record),
            Form = FormState.New(clock),
        };
    }

    private static string Local(HorseRow horse, MeasurementRow row) =>
        YardTime.Local(horse.TimeZone, Instants.Read(row.MeasuredAt)).ToString("d MMMM yyyy, HH:mm", CultureInfo.InvariantCulture);
}
