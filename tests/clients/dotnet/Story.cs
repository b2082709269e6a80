using BackTracker.Client;
using BackTracker.Client.Models;
using Microsoft.Kiota.Abstractions;
using Microsoft.Kiota.Abstractions.Authentication;
using Microsoft.Kiota.Http.HttpClientLibrary;
using Microsoft.Kiota.Http.HttpClientLibrary.Middleware.Options;

// The job once, through the generated client alone: arguments are the address and an administrator's key.
// The library's own providers of keys insist on https, which a service on loopback does not have.
using var http = KiotaClientFactory.Create();
http.DefaultRequestHeaders.Authorization = new("Bearer", args[1]);
var adapter = new HttpClientRequestAdapter(new AnonymousAuthenticationProvider(), httpClient: http) { BaseUrl = args[0] };
var v1 = new BackTrackerClient(adapter).V1;
var today = DateTime.UtcNow.Date;
Date Day(int fromToday) => new(today.AddDays(fromToday));

var yard = (await v1.Yards.PostAsync(new() { Name = "Hollin Bank", TimeZone = "UTC" }))!.Id!.Value;
var manager = (await v1.People.PostAsync(new() { Name = "Isla Brook", Role = PersonRole.YardManager, YardIds = [yard] }))!.Id!.Value;
var fitter = (await v1.People.PostAsync(new() { Name = "Morwen Hale", Role = PersonRole.Fitter, YardIds = [yard], BookingLeadDays = 35 }))!.Id!.Value;
var horse = (await v1.Horses.PostAsync(new() { YardId = yard, Name = "Bramble", BornOn = new Date(2015, 5, 1) }))!.Id!.Value;
await v1.Horses[horse].Phases.PostAsync(new() { Phase = Phase.Steady, From = Day(-196) });
await v1.Horses[horse].Events.PostAsync(new() { On = Day(-112), Kind = EventKind.Other, Note = "Hill work." });
var saddle = (await v1.Saddles.PostAsync(new() { YardId = yard, Label = "Trail saddle", Tree = TreeKind.Adjustable, Filling = Filling.Wool }))!.Id!.Value;
await v1.Saddles[saddle].TreeShapes.PostAsync(new() { From = Day(-56), Stations = [new() { Station = "T13", Width150Mm = 320 }] });
var pairing = await v1.Pairings.PostAsync(new() { HorseId = horse, SaddleId = saddle, From = Day(-56), WeeklyMinutes = 240 });
Insist(pairing!.HorseId == horse && pairing.To is null, "the pairing");

double[] widths = [309, 310, 310, 311, 316, 321, 326, 330];
for (var i = 0; i < widths.Length; i++)
{
    var receipt = await v1.Horses[horse].Measurements.PostAsync(new()
    {
        MeasuredAt = today.AddDays(28 * (i - 7)).AddMinutes(1),
        MeasuredBy = manager,
        Method = MeasuringMethod.FlexibleCurve,
        Exercise = ExerciseState.Before,
        Widths = [new() { Station = "T13", DepthMm = 150, WidthMm = widths[i], Repeat = 1 }, new() { Station = "T13", DepthMm = 150, WidthMm = widths[i] + 1, Repeat = 2 }],
    });
    Insist(receipt!.Derived!.Single().Metric == "T13.width150" && receipt.Derived!.Single().Value == widths[i] + .5, "what is derived");
}

CheckAnswer? fit = null;
for (var until = DateTime.UtcNow.AddSeconds(60); fit is null && DateTime.UtcNow < until; await Task.Delay(100))
    fit = (await v1.Checks.GetAsync(r => (r.QueryParameters.HorseId, r.QueryParameters.State) = (horse, CheckState.Open)))!.Items!.Find(c => c.Kind == CheckKind.Fit);
Insist(fit?.Reasons?[0].Text?.Length > 0, "the check and its reason");

async Task<string> EtagAsync()
{
    var headers = new HeadersInspectionHandlerOption { InspectResponseHeaders = true };
    await v1.Checks[fit!.Id!.Value].GetAsync(r => r.Options.Add(headers));
    return headers.ResponseHeaders["ETag"].Single();
}
var seen = await EtagAsync();
var booked = await v1.Checks[fit!.Id!.Value].Book.PostAsync(new() { On = Day(0), FitterId = fitter }, r => r.Headers.Add("If-Match", seen));
Insist(booked!.State == CheckState.Booked && booked.BookedOn!.Value.Equals(Day(0)), "the booking");
var stale = await ProblemAsync(() => v1.Checks[fit.Id.Value].Unbook.PostAsync(new() { Reason = "Away." }, r => r.Headers.Add("If-Match", seen)));
Insist(stale.Status == 412 && stale.Type == "urn:backtracker:problem:stale" && stale.Detail?.Length > 0, "the stale version");

var etag = await EtagAsync();
var done = await v1.Checks[fit.Id.Value].Complete.PostAsync(new()
{
    On = Day(0),
    By = fitter,
    Findings = [new() { Text = "Tree close behind the shoulder; opened." }],
    Adjustments = [new() { Kind = AdjustmentKind.Tree, Zones = [new() { Side = Side.Left, Zone = Zone.Middle, Mm = 6 }, new() { Side = Side.Right, Zone = Zone.Middle, Mm = 6 }] }],
}, r => r.Headers.Add("If-Match", etag));
Insist(done!.State == CheckState.Done && done.DoneOn is not null, "the completed check");

var sessions = new List<MeasurementAnswer>();
var page = (await v1.Horses[horse].Measurements.GetAsync(r => r.QueryParameters.Limit = 3))!;
for (sessions.AddRange(page.Items!); page.Next is not null; sessions.AddRange(page.Items!))
    page = (await v1.Horses[horse].Measurements.WithUrl(args[0].TrimEnd('/') + page.Next).GetAsync())!;
Insist(sessions.Select(s => s.Id).Distinct().Count() == widths.Length, "every page");

var impossible = await ProblemAsync(() => v1.Horses.PostAsync(new() { YardId = yard, Name = "" }));
Insist(impossible.Status == 422 && impossible.Errors?.AdditionalData.ContainsKey("/name") == true, "the fault by its pointer");
Console.WriteLine($"booked and done: {fit.Id}");

static async Task<ProblemDocument> ProblemAsync(Func<Task> act)
{
    try
    {
        await act();
    }
    catch (ProblemDocument problem)
    {
        return problem;
    }
    throw new InvalidOperationException("No problem was answered.");
}

static void Insist(bool holds, string what)
{
    if (!holds)
        throw new InvalidOperationException($"Not as expected: {what}.");
}
