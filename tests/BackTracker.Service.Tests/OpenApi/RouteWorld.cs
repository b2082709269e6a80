using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Hosting;
using BackTracker.Service.OpenApi;
using BackTracker.Service.Tests.Commissions;
using BackTracker.Service.Tests.Delivery;
using BackTracker.Service.Tests.Harness;
using BackTracker.Service.Tests.Imports;
using BackTracker.Service.Tests.Priors;

namespace BackTracker.Service.Tests.OpenApi;

/// <summary>One of everything, with a body that would do for every route: what is refused is refused for the key's sake alone.</summary>
internal sealed class RouteWorld
{
    /// <summary>Of a service that is asked for everything within one minute of a clock that stands still, by those who may not as well.</summary>
    public static Settings Settings { get; } = new()
    {
        Delivery = new() { AllowHosts = "127.0.0.1" },
        Limits = new() { RequestsPerMinute = 1_000_000, FailedTriesPerMinute = 1_000_000 },
    };

    private static readonly string Hook = Receiver.NobodyAt();
    private readonly Dictionary<string, string> _ids = [];
    private readonly Dictionary<string, object> _bodies = [];
    private readonly RunningService _service;

    private RouteWorld(RunningService service) => _service = service;

    /// <summary>Of what is somebody's: methods and priors are everybody's.</summary>
    public IReadOnlyCollection<string> Ids => [.. _ids.Where(id => id.Key is not ("methods" or "priors")).Select(id => id.Value)];

    /// <summary>The id of one of each kind, by the name of its collection.</summary>
    public IReadOnlyDictionary<string, string> IdOfKind => _ids;

    /// <summary>A body that would do, by route.</summary>
    public IReadOnlyDictionary<string, object> BodyOfRoute => _bodies;

    public static async Task<RouteWorld> SettleAsync(RunningService service, Yardful yard)
    {
        var world = new RouteWorld(service);
        await world.FillIdsAsync(service.Admin, yard);
        world.FillBodies(yard);
        return world;
    }

    /// <summary>Sends a request to a route of the document, with the ids and the body of this world.</summary>
    public Task<Reply> SendAsync(ApiClient client, string method, string path)
    {
        object? body = null;
        if (method is "POST" or "PUT" && !_bodies.TryGetValue($"{method} {path}", out body))
            throw new InvalidOperationException($"Give {method} {path} a body here that would do, so that the test can tell who is refused and why.");
        return SendAsync(client, method, path, body);
    }

    /// <summary>Sends a request to a route of the document, with the ids of this world and a body of the caller's.</summary>
    public Task<Reply> SendAsync(ApiClient client, string method, string path, object? body)
    {
        var parts = path.Split('/', StringSplitOptions.RemoveEmptyEntries);
        var address = "/" + string.Join('/', parts.Select((part, i) => part[0] == '{' ? Id(parts[i - 1]) + part[(part.IndexOf('}', StringComparison.Ordinal) + 1)..] : part));
        return client.SendAsync(new HttpMethod(method), address, body, ("If-Match", "*"));
    }

    /// <summary>An example of the document, with this world's ids for the example's.</summary>
    public string WithItsIds(string example) => new[] { ("yard", "yards"), ("horse", "horses"), ("saddle", "saddles"), ("person", "people"), ("fitter", "fitters"), ("vet", "vets"), ("saddler", "saddlers"), ("check", "checks") }
        .Aggregate(example, (text, thing) => text.Replace(ExampleWords.Id(thing.Item1), Id(thing.Item2), StringComparison.Ordinal));

    public async Task<ApiClient> KeyOfAnEmptyYardAsync()
    {
        var yardId = await _service.Admin.MakeAsync("/v1/yards", new { name = "Empty", timeZone = "UTC" });
        var made = (await _service.Admin.PostAsync("/v1/keys", new { name = "test", scopes = new[] { "admin" }, yardIds = new[] { yardId } })).Should(HttpStatusCode.Created);
        return _service.ClientFor(made["secret"]!.GetValue<string>());
    }

    private string Id(string collection) =>
        _ids.TryGetValue(collection, out var id) ? id : throw new InvalidOperationException($"Make one of {collection} here, so that its routes can be tested.");

    private async Task FillIdsAsync(ApiClient admin, Yardful yard)
    {
        var today = Text(yard.Today);
        (_ids["yards"], _ids["people"], _ids["horses"], _ids["saddles"], _ids["pairings"]) = (yard.YardId, yard.ManagerId, yard.HorseId, yard.SaddleId, yard.PairingId);
        (_ids["fitters"], _ids["vets"]) = (yard.FitterId, yard.VetId);
        _ids["methods"] = "arm-gauge";
        _ids["priors"] = await LearnedHerd.LearnedAsync(_service);
        await yard.MeasureAsync(318);
        _ids["measurements"] = await TraceAsync(admin, yard);
        await CommissionAsync(admin, yard, today, await CommissioningYard.InAsync(_service, yard));
        _ids["observations"] = await admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = today, kind = "rub", note = "Small." });
        _ids["events"] = await admin.MakeAsync($"/v1/horses/{yard.HorseId}/events", new { on = today, kind = "other", note = "Hill work." });
        _ids["rides"] = await admin.MakeAsync($"/v1/horses/{yard.HorseId}/rides", new { riddenOn = today, minutes = 45, saddleId = yard.SaddleId });
        _ids["phases"] = (await admin.GetAsync($"/v1/horses/{yard.HorseId}/phases")).Items[0]!["id"]!.GetValue<string>();
        _ids["tree-shapes"] = (await admin.GetAsync($"/v1/saddles/{yard.SaddleId}/tree-shapes")).Items[0]!["id"]!.GetValue<string>();
        _ids["adjustments"] = await admin.MakeAsync($"/v1/saddles/{yard.SaddleId}/adjustments", new { doneOn = today, doneBy = yard.FitterId, kind = "repair" });
        _ids["moves"] = await admin.MakeAsync($"/v1/horses/{await admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Plover" })}/moves", new { on = today, status = "retired" });
        _ids["keys"] = (await admin.PostAsync("/v1/keys", new { name = "test", scopes = new[] { "read" }, yardIds = new[] { yard.YardId } }))["id"]!.GetValue<string>();
        var letters = await MailYard.SubscribeAsync(_service.Database, yard.YardId, "isla@larkfield.test");
        _ids["messages"] = await new MailYard(_service, yard, letters).WriteAsync();
        _ids["subscriptions"] = await admin.MakeAsync("/v1/subscriptions", new { url = Hook, yardIds = new[] { yard.YardId } });
        _ids["deliveries"] = await admin.MakeAsync($"/v1/subscriptions/{_ids["subscriptions"]}/test", new { });
        _ids["calendars"] = (await admin.PostAsync($"/v1/people/{yard.FitterId}/calendar-token"))["url"]!.GetValue<string>().Split('/')[^1].Replace(".ics", "", StringComparison.Ordinal);
        var refused = await _service.ImportAsync(Files.Csv, "colour\n");
        _ids["imports"] = (await admin.GetAsync("/v1/imports")).Items[0]!["id"]!.GetValue<string>();
        Assert.Equal(HttpStatusCode.UnprocessableEntity, refused.Status);
        await _service.SettledAsync();
        _ids["checks"] = (await admin.GetAsync($"/v1/checks?horseId={yard.HorseId}&state=open")).Items[0]!["id"]!.GetValue<string>();
        _ids["visits"] = await admin.MakeAsync("/v1/visits", new { yardId = yard.YardId, fitterId = yard.FitterId, on = today, checkIds = new[] { _ids["checks"] } });
        _ids["alerts"] = (await admin.GetAsync($"/v1/alerts?horseId={yard.HorseId}")).Items[0]!["id"]!.GetValue<string>();
        _ids["quiet-periods"] = await admin.MakeAsync("/v1/quiet-periods", new { yardId = yard.YardId, until = today, reason = "Closed." });
        _ids["audit"] = (await admin.GetAsync($"/v1/audit?resourceId={yard.HorseId}")).Items[0]!["id"]!.GetValue<string>();
        _ids["assessments"] = (await admin.GetAsync($"/v1/horses/{yard.HorseId}/assessments")).Items[0]!["id"]!.GetValue<string>();
    }

    // Beside the station of the widths, so that they are judged as they were measured.
    private Task<string> TraceAsync(ApiClient admin, Yardful yard) => admin.MakeAsync($"/v1/horses/{yard.HorseId}/measurements", new
    {
        measuredAt = _service.Clock.GetUtcNow(),
        measuredBy = yard.ManagerId,
        method = "flexible-curve",
        exercise = "before",
        traces = new[] { new { station = "T18", points = JsonNode.Parse(new Drawing().Points) } },
    });

    private async Task CommissionAsync(ApiClient admin, Yardful yard, string today, CommissioningYard another)
    {
        _ids["saddlers"] = another.SaddlerId;
        await another.DeliverAsync(_ids["measurements"]);
        (await admin.PostAsync($"{another.Path}/bedding-in", new { on = today, clearanceMm = 25, verdict = "pass" })).Should(HttpStatusCode.Created);
        _ids["commissions"] = await admin.MakeAsync("/v1/commissions", Commission(yard, today));
        foreach (var (stage, measurementId) in new[] { ("measured", _ids["measurements"]), ("template-sent", null) })
            (await admin.PostAsync($"/v1/commissions/{_ids["commissions"]}/stages", new { stage, on = today, measurementId }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
        _ids["templates"] = (await admin.GetAsync($"/v1/commissions/{_ids["commissions"]}/templates")).Items[0]!["id"]!.GetValue<string>();
    }

    private object Commission(Yardful yard, string today) => new
    {
        horseId = yard.HorseId,
        saddleId = yard.SaddleId,
        saddlerId = _ids["saddlers"],
        orderedOn = today,
        deliveryOn = Text(yard.Today.AddDays(70)),
        orderedTree = new { stations = new[] { new { station = "T13", width150Mm = 320 } }, panel = new { thicknessMm = 25 } },
    };

    private void FillBodies(Yardful yard)
    {
        var today = Text(yard.Today);
        var yardBody = new { name = "Larkfield", timeZone = "UTC" };
        var person = new { name = "Isla Brook", role = "yard-manager", yardIds = new[] { yard.YardId } };
        var horse = new { yardId = yard.YardId, name = "Bramble" };
        var saddle = new { yardId = yard.YardId, label = "Saddle", tree = "rigid", filling = "wool" };
        var pairing = new { horseId = yard.HorseId, saddleId = yard.SaddleId, from = today };
        var widths = new[] { new { station = "T13", depthMm = 150, widthMm = 318 } };
        var reason = new { reason = "By mistake." };
        Bodies(("POST /v1/yards", yardBody), ("PUT /v1/yards/{id}", yardBody), ("POST /v1/people", person), ("PUT /v1/people/{id}", person));
        Bodies(("POST /v1/horses", horse), ("PUT /v1/horses/{id}", horse), ("POST /v1/saddles", saddle), ("PUT /v1/saddles/{id}", saddle));
        Bodies(("PUT /v1/yards/{id}/policy", new { riskLimit = .2 }), ("PUT /v1/pairings/{id}/policy", new { riskLimit = .2 }));
        Bodies(("POST /v1/pairings", pairing), ("PUT /v1/pairings/{id}", pairing));
        Bodies(("POST /v1/keys", new { name = "key", scopes = new[] { "read" }, yardIds = new[] { yard.YardId } }), ("POST /v1/keys/{id}/rotate", new { }));
        Bodies(("POST /v1/horses/{id}/moves", new { on = today, status = "retired" }), ("POST /v1/horses/{id}/phases", new { phase = "building", from = today }));
        Bodies(("POST /v1/horses/{id}/events", new { on = today, kind = "other", note = "Hills." }));
        Bodies(("POST /v1/horses/{id}/rides", new { riddenOn = today, minutes = 45, saddleId = yard.SaddleId }));
        Bodies(("POST /v1/horses/{id}/observations", new { observedOn = today, kind = "rub", note = "Small." }));
        Bodies(("POST /v1/horses/{id}/measurements", new { measuredAt = _service.Clock.GetUtcNow(), measuredBy = yard.ManagerId, method = "calliper", exercise = "before", widths }));
        Bodies(("PUT /v1/measurements/{id}", new { horseId = yard.HorseId, measuredAt = _service.Clock.GetUtcNow(), measuredBy = yard.ManagerId, method = "calliper", exercise = "before", widths }));
        Bodies(("POST /v1/observations/{id}/outcome", new { on = today, by = yard.VetId, role = "vet", outcome = "cleared", note = "Fine." }));
        Bodies(("POST /v1/saddles/{id}/tree-shapes", new { from = today, stations = new[] { new { station = "T13", width150Mm = 320 } } }));
        Bodies(("POST /v1/saddles/{id}/adjustments", new { doneOn = today, doneBy = yard.FitterId, kind = "repair" }));
        Bodies(("POST /v1/checks/{id}/book", new { on = today, fitterId = yard.FitterId }), ("POST /v1/checks/{id}/complete", new { on = today, by = yard.FitterId }));
        Bodies(("POST /v1/commissions", Commission(yard, today)), ("PUT /v1/commissions/{id}", Commission(yard, today)), ("POST /v1/commissions/{id}/stages", new { stage = "template-sent", on = today, measurementId = _ids["measurements"] }));
        Bodies(("POST /v1/commissions/{id}/trials", new { step = "standing", on = today, items = new[] { new { item = "spine", verdict = "pass" } } }));
        Bodies(("POST /v1/commissions/{id}/bedding-in", new { on = today, clearanceMm = 25, verdict = "pass" }));
        Bodies(("POST /v1/visits", new { yardId = yard.YardId, fitterId = yard.FitterId, on = today, checkIds = new[] { _ids["checks"] } }));
        Bodies(("POST /v1/visits/{id}/add", new { checkIds = new[] { _ids["checks"] } }), ("POST /v1/visits/{id}/move", new { on = Text(yard.Today.AddDays(9)), reason = "Away." }));
        Bodies(("POST /v1/visits/{id}/complete", new { on = today, checks = new[] { new { checkId = _ids["checks"], notDone = "Away." } } }), ("POST /v1/people/{id}/calendar-token", new { }), ("POST /v1/people/{id}/erase", new { }));
        Bodies(("POST /v1/alerts/{id}/acknowledge", new { }), ("POST /v1/quiet-periods", new { horseId = yard.HorseId, until = today, reason = "Away." }));
        Bodies(("POST /v1/pairings/{id}/what-if", new { padMm = 5 }));
        Bodies(("POST /v1/checks/{id}/postpone", new { until = Text(yard.Today.AddDays(9)), reason = "Away." }));
        Bodies(("POST /v1/imports", new { }));
        var hook = new { url = Hook, yardIds = new[] { yard.YardId } };
        Bodies(("POST /v1/subscriptions", hook), ("PUT /v1/subscriptions/{id}", hook));
        foreach (var action in new[] { "rotate", "test", "deliveries/{deliveryId}/retry" })
            Bodies(($"POST /v1/subscriptions/{{id}}/{action}", new { }));
        Bodies(("POST /v1/subscriptions/{id}/messages/{messageId}/retry", new { }));
        foreach (var path in new[] { "measurements/{id}/void", "rides/{id}/void", "observations/{id}/void", "events/{id}/void", "phases/{id}/void", "tree-shapes/{id}/void", "adjustments/{id}/void", "checks/{id}/unbook", "checks/{id}/drop", "visits/{id}/fall-through" })
            Bodies(($"POST /v1/{path}", reason));
    }

    private void Bodies(params (string Route, object Body)[] bodies)
    {
        foreach (var (route, body) in bodies)
            _bodies[route] = body;
    }

    private static string Text(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
