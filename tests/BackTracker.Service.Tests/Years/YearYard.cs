using System.Globalization;
using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Engine;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Tests.Years;

/// <summary>
/// A yard and its people over a year: they measure when asked, book, postpone, come, alter, see things and forget things, all over the API
/// and all from a seed, so that each run is the same.
/// </summary>
internal sealed class YearYard(RunningService service, string name, string timeZone, IReadOnlyList<YearHorse> horses)
{
    private static readonly string[] ClosedDays = ["sunday"];
    private static readonly string[] WorkingDays = ["tuesday", "thursday", "friday"];
    private readonly Dictionary<string, YearHorse> _byId = [];
    private readonly Dictionary<string, (int Day, string SignId)> _vetComes = [];
    private string _manager = "", _fitter = "", _vet = "";
    private DateOnly _first;

    public string Id { get; private set; } = "";

    public string Name => name;

    public IReadOnlyList<YearHorse> Horses => horses;

    public HashSet<string> CausesSeen { get; } = [];

    private ApiClient Api => service.Admin;

    public DateTime LocalNow => TimeZoneInfo.ConvertTime(service.Clock.GetUtcNow(), TimeZoneInfo.FindSystemTimeZoneById(timeZone)).DateTime;

    public async Task SettleAsync()
    {
        _first = DateOnly.FromDateTime(LocalNow);
        Id = await Api.MakeAsync("/v1/yards", new { name, timeZone, closedDays = ClosedDays });
        _manager = await Api.MakeAsync("/v1/people", new { name = $"Manager of {name}", role = "yard-manager", yardIds = new[] { Id } });
        _fitter = await Api.MakeAsync("/v1/people", new { name = $"Fitter of {name}", role = "fitter", yardIds = new[] { Id }, bookingLeadDays = 14, workingDays = WorkingDays });
        _vet = await Api.MakeAsync("/v1/people", new { name = $"Vet of {name}", role = "vet", yardIds = new[] { Id } });
        foreach (var person in new[] { _manager, _fitter, await Api.MakeAsync("/v1/people", new { name = $"Owner of {name}", role = "owner", yardIds = new[] { Id } }) })
            await SubscribeAsync(person);
        foreach (var horse in horses)
            await SettleAsync(horse);
    }

    /// <summary>What the yard's people do on a morning.</summary>
    public async Task MorningAsync()
    {
        var day = DateOnly.FromDateTime(LocalNow).DayNumber - _first.DayNumber;
        foreach (var horse in horses)
            await LiveAsync(horse, day);
        if (day % 3 == 0)
            await AcknowledgeAsync();
        foreach (var check in await ChecksAsync("open"))
            await AnswerAsync(check, day);
        foreach (var check in (await ChecksAsync("booked")).Where(check => Day(check["bookedOn"]) == Date(day)))
            await VisitAsync(check, day);
    }

    private async Task SubscribeAsync(string personId)
    {
        await using var session = await service.Database.WriteAsync("test", TestContext.Current.CancellationToken);
        var id = session.NewId();
        await SubscriptionStore.AddAsync(session, new SubscriptionRow { Id = id, Channel = "mail", Email = $"{id}@example.org", PersonId = personId, Yards = Id, CreatedAt = session.NowText });
        await SubscriptionStore.ConfirmAsync(session, id);
        await session.CommitAsync();
    }

    /// <summary>The manager says of some of what is open that it is seen to; some is left to climb.</summary>
    private async Task AcknowledgeAsync()
    {
        foreach (var alert in (await Api.GetAsync($"/v1/alerts?yardId={Id}&state=raised&limit=500")).Should(HttpStatusCode.OK).Items)
        {
            var path = $"/v1/alerts/{alert!["id"]}";
            if (_byId[alert["horseId"]!.GetValue<string>()].Number % 3 != 0)
                (await Api.PostAsync($"{path}/acknowledge", new { note = "Seen to." }, ("If-Match", (await Api.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);
        }
    }

    private async Task SettleAsync(YearHorse horse)
    {
        horse.Id = await Api.MakeAsync("/v1/horses", new { yardId = Id, name = horse.Name, bornOn = Text(_first.AddYears(-horse.BornYearsAgo)) });
        _byId.Add(horse.Id, horse);
        var phase = horse.Story switch { YearStory.Building => "conditioning", YearStory.Forgotten => "competing", _ => "steady" };
        await PostAsync($"/v1/horses/{horse.Id}/phases", new { phase, from = Text(_first) });
        horse.TreeMm = Math.Round(horse.WidthMm(0)) + 5;
        await SaddleAsync(horse, 0, "wool");
        await MeasureAsync(horse, 0);
        if (horse.Story == YearStory.Sharing)
            await Api.MakeAsync("/v1/pairings", new { horseId = horse.Id, saddleId = horses.First(other => other.Story == YearStory.Steady).SaddleId, from = Text(_first), weeklyMinutes = 60 });
    }

    private async Task SaddleAsync(YearHorse horse, int day, string filling)
    {
        horse.SaddleId = await Api.MakeAsync("/v1/saddles", new { yardId = Id, label = $"Saddle of {horse.Name} from day {day}", tree = "adjustable", filling, madeOn = Text(Date(day)) });
        await PostAsync($"/v1/saddles/{horse.SaddleId}/tree-shapes", new { from = Text(Date(day)), stations = new[] { new { station = "T13", width150Mm = horse.TreeMm } } });
        horse.PairingId = await Api.MakeAsync("/v1/pairings", new { horseId = horse.Id, saddleId = horse.SaddleId, from = Text(Date(day)), weeklyMinutes = 120 + (horse.Number % 4 * 60) });
    }

    private async Task LiveAsync(YearHorse horse, int day)
    {
        if (_vetComes.TryGetValue(horse.Id, out var vet) && vet.Day <= day)
        {
            await PostAsync($"/v1/observations/{vet.SignId}/outcome", new { on = Text(Date(day)), by = _vet, role = "vet", outcome = "cleared", note = "Sound and quiet to touch." }, HttpStatusCode.OK);
            _vetComes.Remove(horse.Id);
        }
        if (horse.Number % 3 == 0 && day % 7 == 3 && horse.Story != YearStory.LaidOff)
            await PostAsync($"/v1/horses/{horse.Id}/rides", new { riddenOn = Text(Date(day)), minutes = 180, saddleId = horse.SaddleId });
        switch (horse.Story, day - horse.Turn)
        {
            case (YearStory.Building, 0):
                await PostAsync($"/v1/horses/{horse.Id}/phases", new { phase = "building", from = Text(Date(day)) });
                break;
            case (YearStory.LaidOff, 0):
                await PostAsync($"/v1/horses/{horse.Id}/events", new { on = Text(Date(day)), kind = "lay-off", note = "Cast a shoe and bruised the sole." });
                break;
            case (YearStory.LaidOff, 30):
                await PostAsync($"/v1/horses/{horse.Id}/events", new { on = Text(Date(day + 30)), kind = "start-of-work", planned = true, note = "Walking out again." });
                break;
            case (YearStory.Gaining, > 50 and < 140) when day % 7 == 0:
                await WeighAsync(horse, day);
                break;
            case (YearStory.Forgotten, -10) when horse.Number < 10:
                await OrderAsync(horse, day);
                break;
            case (YearStory.NewSaddle, 20):
                await NewSaddleAsync(horse, day);
                break;
            case (YearStory.Signs, 0):
                await SignAsync(horse, day, "rub");
                break;
            case (YearStory.Signs, 90):
                await SignAsync(horse, day, "open-sore", vetAfterDays: 4);
                break;
            case (YearStory.Signs, 150):
                await PostAsync($"/v1/horses/{horse.Id}/observations", new { observedOn = Text(Date(day)), kind = "ridden-behaviour-score", score = 5, note = "Scored by the rider." });
                break;
            case (YearStory.Sharing, 120) when horse.Number % 20 == 9:
                await PostAsync($"/v1/horses/{horse.Id}/moves", new { on = Text(Date(day)), status = "sold" });
                break;
        }
    }

    private async Task NewSaddleAsync(YearHorse horse, int day)
    {
        var path = $"/v1/pairings/{horse.PairingId}";
        var ended = new { horseId = horse.Id, saddleId = horse.SaddleId, from = Text(_first), to = Text(Date(day - 1)), weeklyMinutes = 120 };
        (await Api.PutAsync(path, ended, ("If-Match", (await Api.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);
        horse.TreeMm = Math.Round(horse.WidthMm(day)) + 5;
        await SaddleAsync(horse, day, horse.Number % 20 < 10 ? "wool" : "foam");
        await PostAsync($"/v1/horses/{horse.Id}/events", new { on = Text(Date(day)), kind = "new-saddle", note = "Made to measure." });
    }

    /// <summary>A saddle is ordered for a horse that nobody remembers to measure.</summary>
    private async Task OrderAsync(YearHorse horse, int day) => await Api.MakeAsync("/v1/commissions", new
    {
        horseId = horse.Id,
        saddleId = await Api.MakeAsync("/v1/saddles", new { yardId = Id, label = $"Saddle being made for {horse.Name}", tree = "rigid", filling = "wool" }),
        saddlerId = await Api.MakeAsync("/v1/people", new { name = $"Saddler of {horse.Name}", role = "saddler", yardIds = new[] { Id } }),
        orderedOn = Text(Date(day)),
        deliveryOn = Text(Date(day + 240)),
        orderedTree = new { stations = new[] { new { station = "T13", width150Mm = horse.TreeMm } }, panel = new { thicknessMm = 25 } },
    });

    private async Task SignAsync(YearHorse horse, int day, string kind, int vetAfterDays = 0)
    {
        var sign = (await PostAsync($"/v1/horses/{horse.Id}/observations", new { observedOn = Text(Date(day)), kind, note = "Seen when untacking." }))["id"]!.GetValue<string>();
        if (vetAfterDays > 0)
            _vetComes[horse.Id] = (day + vetAfterDays, sign);
    }

    private async Task AnswerAsync(JsonNode check, int day)
    {
        foreach (var reason in check["reasons"]!.AsArray())
            CausesSeen.Add(reason!["cause"]!.GetValue<string>());
        var horse = _byId[check["horseId"]!.GetValue<string>()];
        var luck = Luck(horse, day);
        switch (check["kind"]!.GetValue<string>())
        {
            case "remeasure" when Day(check["dueOn"]) <= Date(day + 3):
                if (luck < horse.Diligence)
                    await MeasureAsync(horse, day);
                break;
            case "fit" or "refit" or "flocking" when !_vetComes.ContainsKey(horse.Id):
                await ArrangeAsync(check, horse, day, luck);
                break;
        }
    }

    private async Task ArrangeAsync(JsonNode check, YearHorse horse, int day, double luck)
    {
        var urgent = check["urgency"]!.GetValue<string>() == "now";
        if (!urgent && luck < .004)
            await ActAsync(check, "drop", new { reason = "Looked at by the yard: nothing to see." });
        else if (!urgent && luck < .01 && Day(check["dueOn"]).AddDays(5) <= Day(check["closesOn"]))
            await ActAsync(check, "postpone", new { until = Text(Day(check["dueOn"]).AddDays(5)), reason = "Away at a ride that week." });
        else if (urgent || Day(check["bookBy"]) <= Date(day + 10))
            await ActAsync(check, "book", new { on = Text(FittersDay(urgent ? Date(day + 1) : DayOrder.Later(Date(day + 3), Day(check["dueOn"]).AddDays(-6)))), fitterId = _fitter });
    }

    private async Task VisitAsync(JsonNode check, int day)
    {
        var horse = _byId[check["horseId"]!.GetValue<string>()];
        if (_vetComes.ContainsKey(horse.Id) || Luck(horse, day) < .08)
        {
            await ActAsync(check, "unbook", new { reason = "The fitter's van broke down." });
            return;
        }
        await ActAsync(check, "complete", new { on = Text(Date(day)), by = _fitter, findings = new[] { "Looked over on the horse." }, adjustments = Alter(check, horse, day) });
    }

    private static object[] Alter(JsonNode check, YearHorse horse, int day)
    {
        var flocked = check["kind"]!.GetValue<string>() == "flocking";
        var open = Math.Round((horse.WidthMm(day) + 5 - horse.TreeMm) / 2);
        if (!flocked && (Math.Abs(open) < 3 || check["pairingId"]!.GetValue<string>() != horse.PairingId))
            return [];
        horse.TreeMm += flocked ? 0 : 2 * open;
        return [new { kind = flocked ? "flocking" : "tree", zones = new[] { Zone("left"), Zone("right") } }];

        object Zone(string side) => new { side, zone = "middle", mm = flocked ? 2 : open };
    }

    private async Task MeasureAsync(YearHorse horse, int day)
    {
        var noise = new Random(unchecked((horse.Number * 104729) + day));
        object Width(int repeat)
        {
            var (left, right) = (horse.HalfLeftMm(day) + noise.NextDouble() - .5, horse.HalfRightMm(day) + noise.NextDouble() - .5);
            return new { station = "T13", depthMm = 150, widthMm = Math.Round(left + right, 1), leftHalfMm = Math.Round(left, 1), rightHalfMm = Math.Round(left + right, 1) - Math.Round(left, 1), repeat };
        }
        await PostAsync($"/v1/horses/{horse.Id}/measurements", new
        {
            measuredAt = service.Clock.GetUtcNow(),
            measuredBy = _manager,
            method = "arm-gauge",
            exercise = "before",
            widths = new[] { Width(1), Width(2) },
            weightKg = Math.Round(horse.WeightKg(day)),
        });
    }

    // Over the weighbridge between two measurements of the back.
    private Task<Reply> WeighAsync(YearHorse horse, int day) => PostAsync($"/v1/horses/{horse.Id}/measurements", new
    {
        measuredAt = service.Clock.GetUtcNow(),
        measuredBy = _manager,
        method = "arm-gauge",
        exercise = "before",
        weightKg = Math.Round(horse.WeightKg(day)),
    });

    private async Task ActAsync(JsonNode check, string action, object body)
    {
        var path = $"/v1/checks/{check["id"]}";
        var reply = await Api.PostAsync($"{path}/{action}", body, ("If-Match", (await Api.GetAsync(path)).Etag));
        Assert.True(reply.Status == HttpStatusCode.OK, $"{name}, {action} of {check.ToJsonString()}: {reply.Text}");
    }

    private async Task<Reply> PostAsync(string path, object body, HttpStatusCode expected = HttpStatusCode.Created) => (await Api.PostAsync(path, body)).Should(expected);

    private async Task<IReadOnlyList<JsonNode>> ChecksAsync(string state) =>
        [.. (await Api.GetAsync($"/v1/checks?yardId={Id}&state={state}&limit=500")).Items.OfType<JsonNode>()];

    private static DateOnly FittersDay(DateOnly from)
    {
        while (!WorkingDays.Contains(from.DayOfWeek.ToString().ToLowerInvariant()))
            from = from.AddDays(1);
        return from;
    }

    private DateOnly Date(int day) => _first.AddDays(day);

    private static double Luck(YearHorse horse, int day) => new Random(unchecked((horse.Number * 7919) + day)).NextDouble();

    private static DateOnly Day(JsonNode? day) => DateOnly.ParseExact(day!.GetValue<string>(), "yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Text(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
