using System.Net;
using BackTracker.Engine.Checks;
using BackTracker.Service.Features.Assessments;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Checks;
using Microsoft.Extensions.DependencyInjection;

namespace BackTracker.Service.Tests.Checks;

public sealed class BookByTests
{
    // The fit check falls due on Wednesday, 26 May 2027, 26 weeks after the first day.
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task LastDayToBook_countsFromADayOnWhichSomebodyCanCome_andByTheUsualFitterOnceThereIsOne(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        await yard.MeasureAsync(320);
        Assert.Equal(("2027-05-26", "2027-04-21"), await FitAsync(service, yard));

        await PutAsync(service, $"/v1/yards/{yard.YardId}", new { name = "Larkfield", timeZone = "UTC", closedDays = new[] { "wednesday", "2027-05-25" } });
        Assert.Equal(("2027-05-26", "2027-04-19"), await FitAsync(service, yard));

        await service.Admin.MakeAsync("/v1/people", new { name = "Ode Marsh", role = "fitter", yardIds = new[] { yard.YardId }, bookingLeadDays = 50, workingDays = new[] { "tuesday" } });
        Assert.Equal(("2027-05-26", "2027-03-29"), await FitAsync(service, yard));

        await MorwenComesAsync(service, yard);
        Assert.Equal(("2027-05-27", "2027-04-22"), await FitAsync(service, yard));

        await PutAsync(service, $"/v1/people/{yard.FitterId}", new { name = "Morwen Hale", role = "fitter", yardIds = new[] { yard.YardId }, bookingLeadDays = 10, workingDays = new[] { "monday" } });
        Assert.Equal(("2027-05-27", "2027-05-14"), await FitAsync(service, yard));
    }

    // Booked for the 1st and late, on the 20th: that was after the visit of the 10th.
    [Fact]
    public void UsualFitter_isWhoCameLast_notWhoWasBookedLast()
    {
        CheckRow Visit(string fitter, string bookedOn, string doneOn) => new() { PairingId = "a", Kind = "fit", State = "done", DoneBy = fitter, BookedOn = bookedOn, DoneOn = doneOn };
        var fitters = new KnownFitters(
            [new() { Id = "late", Role = "fitter" }, new() { Id = "punctual", Role = "fitter" }],
            [Visit("late", "2026-11-01", "2026-11-20"), Visit("punctual", "2026-11-10", "2026-11-10")]);
        Assert.Equal(["late"], fitters.For("a", new CheckPolicy()).Select(fitter => fitter.Id));
        Assert.Equal(["late", "punctual"], fitters.For("b", new CheckPolicy()).Select(fitter => fitter.Id));
    }

    [Fact]
    public void UsualFitter_isWhoWasBooked_whereSomebodyElseReportedTheVisit()
    {
        var fitters = new KnownFitters(
            [new() { Id = "came", Role = "fitter" }, new() { Id = "other", Role = "fitter" }],
            [new() { PairingId = "a", Kind = "fit", State = "done", FitterId = "came", DoneBy = "manager", DoneOn = "2026-11-20" }]);
        Assert.Equal(["came"], fitters.For("a", new CheckPolicy()).Select(fitter => fitter.Id));
    }

    // One saddle on two horses: new wool was looked at on one of them.
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task LookAtTheFlocking_onOneHorse_isOneForTheOtherHorseOfTheSaddle(StoreKind store)
    {
        await using var service = await RunningService.StartAsync(store, role: ServiceRole.Api);
        var yard = await Yardful.SettleAsync(service);
        var other = await service.Admin.MakeAsync("/v1/horses", new { yardId = yard.YardId, name = "Sorrel", bornOn = "2014-05-01" });
        await service.Admin.MakeAsync("/v1/pairings", new { horseId = other, saddleId = yard.SaddleId, from = "2026-11-25", weeklyMinutes = 240 });
        await DrainAsync(service);

        await MorwenComesAsync(service, yard);
        await DrainAsync(service);

        var latest = (await service.Admin.GetAsync($"/v1/horses/{other}/assessments")).Items.MaxBy(item => item!["id"]!.GetValue<string>())!;
        Assert.Contains("Flocking last looked at on 26 November 2026", latest["outputs"]!.ToJsonString(), StringComparison.Ordinal);
    }

    /// <summary>A rub calls the fitter, who comes the next day.</summary>
    private static async Task MorwenComesAsync(RunningService service, Yardful yard)
    {
        await service.Admin.MakeAsync($"/v1/horses/{yard.HorseId}/observations", new { observedOn = "2026-11-25", kind = "rub", note = "Small." });
        await DrainAsync(service);
        var check = (await service.Admin.GetAsync("/v1/checks?state=open")).Items.Single(c => c!["kind"]!.GetValue<string>() == "fit")!;
        var path = $"/v1/checks/{check["id"]}";
        (await service.Admin.PostAsync($"{path}/book", new { on = "2026-11-26", fitterId = yard.FitterId }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
        service.Clock.Advance(TimeSpan.FromDays(1));
        (await service.Admin.PostAsync($"{path}/complete", new { on = "2026-11-26", by = yard.FitterId }, ("If-Match", "*"))).Should(HttpStatusCode.OK);
    }

    private static async Task<(string DueOn, string BookBy)> FitAsync(RunningService service, Yardful yard)
    {
        await DrainAsync(service);
        var latest = (await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/assessments")).Items.MaxBy(item => item!["id"]!.GetValue<string>())!;
        var fit = latest["outputs"]!["wanted"]!.AsArray().Single(wanted => wanted!["kind"]!.GetValue<string>() == "fit")!["days"]!;
        return (fit["dueOn"]!.GetValue<string>(), fit["bookBy"]!.GetValue<string>());
    }

    private static async Task PutAsync(RunningService service, string path, object body) =>
        (await service.Admin.PutAsync(path, body, ("If-Match", (await service.Admin.GetAsync(path)).Etag))).Should(HttpStatusCode.OK);

    private static Task<DrainResult> DrainAsync(RunningService service) => service.Services.GetRequiredService<Assessor>().DrainAsync(TestContext.Current.CancellationToken);
}
