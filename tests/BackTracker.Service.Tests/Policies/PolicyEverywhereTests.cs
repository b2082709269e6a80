using System.Net;
using System.Text.RegularExpressions;
using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Policies;

/// <summary>It makes no difference to what anybody reads whether an operator sets something for all, or a yard and a saddle have it of their own.</summary>
public sealed partial class PolicyEverywhereTests
{
    private static readonly Dictionary<string, double> None = [];

    private static readonly Dictionary<string, double> OfSaddle = new()
    {
        ["riskLimit"] = .1,
        ["riskClosing"] = .3,
        ["bookingLeadDays"] = 20,
        ["watchedFitWeeks"] = 5,
        ["flockingLimitMm"] = 2,
        ["loadNotedFrom"] = .1,
        ["loadWarnedFrom"] = .12,
    };

    private static readonly Dictionary<string, double> OfYard = new()
    {
        ["windowDays"] = 10,
        ["steadyMeasureDays"] = 21,
        ["remeasureNoticeDays"] = 14,
        ["eventFollowUpDays"] = 30,
        ["layOffDays"] = 20,
        ["growingYears"] = 12,
        ["soonDays"] = 30,
    };

    [Fact]
    public async Task SettingsOfAYardAndASaddle_areReadEverywhere_asThoseOfTheServiceAre()
    {
        var forAll = await ReadAsync(new CheckPolicy().With(new PolicyValues(OfYard)).With(new PolicyValues(OfSaddle)), None, None);
        var ofTheirOwn = await ReadAsync(new CheckPolicy(), OfYard, OfSaddle);
        var without = await ReadAsync(new CheckPolicy(), None, None);

        Assert.All(forAll.Keys, what => Assert.Equal(forAll[what], ofTheirOwn[what]));
        Assert.All(new[] { "board", "sheet", "fit", "advice", "contact", "checks", "/", "/phases" }, what => Assert.NotEqual(without[what], forAll[what]));
    }

    /// <summary>What a yard reads of a horse that was measured for some months, ids left out.</summary>
    private static async Task<Dictionary<string, string>> ReadAsync(CheckPolicy service, Dictionary<string, double> ofYard, Dictionary<string, double> ofSaddle)
    {
        await using var running = await RunningService.StartAsync(now: "2026-03-02T08:00:00Z", role: ServiceRole.Api, settings: new Settings { Policy = service });
        var yard = await TracedYard.SettleAsync(running);
        await SetAsync(running, $"/v1/yards/{yard.YardId}/policy", ofYard);
        await SetAsync(running, $"/v1/pairings/{yard.PairingId}/policy", ofSaddle);
        await yard.MeasureOftenAsync(4, i => new() { WiderMm = i });
        await AssessAsync(running);
        running.Clock.Advance(TimeSpan.FromDays(20));
        await yard.MeasureAsync(new() { HollowMm = 8, WiderMm = 6, RightLargerPct = 2 });
        await AssessAsync(running);

        var horse = $"/v1/horses/{yard.HorseId}";
        var pairing = $"/v1/pairings/{yard.PairingId}";
        var read = new Dictionary<string, string>();
        foreach (var (what, path) in new[]
        {
            ("board", $"/v1/yards/{yard.YardId}/board"), ("sheet", $"/v1/yards/{yard.YardId}/visit-sheet?fitterId={yard.FitterId}"), ("checks", "/v1/checks"),
            ("alerts", "/v1/alerts"), ("fit", $"{pairing}/fit"), ("picture", $"{pairing}/fit.svg?station=T13"), ("forecast", $"{pairing}/forecast"),
            ("advice", $"{pairing}/advice"), ("contact", $"{pairing}/contact"), ("trends", $"{horse}/trends"), ("profiles", $"{horse}/profiles"),
        })
            read[what] = WithoutIds((await running.Admin.GetAsync(path)).Should(HttpStatusCode.OK).Text);
        using var reader = await PageClient.SignedInAsync(running);
        foreach (var page in new[] { "", "/events", "/phases" })
            read[$"/{page.TrimStart('/')}"] = WithoutIds((await reader.GetAsync($"/horses/{yard.HorseId}{page}")).Should(HttpStatusCode.OK).Text);
        read["letter"] = await LetterAsync(running, yard);
        return read;
    }

    private static async Task<string> LetterAsync(RunningService service, TracedYard yard)
    {
        var line = new LetterLine(yard.HorseId, AlertNews.Raised, Urgency.Now, Cause.OutNow, yard.HorseId, "Sorrel", yard.PairingId, "Sorrel's saddle", null, CheckKind.Refit, "Bridges.", yard.Today, yard.Today, null);
        var drawn = await service.Services.GetRequiredService<LetterPictures>().OfAsync(new Letter("Larkfield", yard.Today, [line], []), yard.YardId, TestContext.Current.CancellationToken);
        return string.Concat(drawn.Pictures.Select(picture => picture.Description + Convert.ToBase64String(picture.Png)));
    }

    private static async Task AssessAsync(RunningService service) => await service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);

    private static async Task SetAsync(RunningService service, string path, Dictionary<string, double> own) =>
        (await service.Admin.PutAsync(path, own, ("If-Match", (await service.Admin.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);

    private static string WithoutIds(string text) => FieldValue().Replace(Id().Replace(text, "id"), "");

    [GeneratedRegex("[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")]
    private static partial Regex Id();

    // Tokens of forms, and of each its own.
    [GeneratedRegex("value=\"[^\"]*\"")]
    private static partial Regex FieldValue();
}
