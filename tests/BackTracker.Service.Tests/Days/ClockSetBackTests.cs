using System.Net;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Days;

/// <summary>A clock that was ahead and is set right: what was done stays done, what comes goes on, and nobody gets in again.</summary>
public sealed class ClockSetBackTests
{
    private static readonly DayCase Day = DayCase.Of("Europe/London", "2027-10-31", "2027-10-31T01:00Z", 60, 0);

    [Theory]
    [InlineData(StoreKind.Sqlite, 1)]
    [InlineData(StoreKind.Sqlite, 48)]
    [InlineData(StoreKind.Postgres, 48)]
    public async Task NothingIsToldTwice_andLaterDaysGoOn(StoreKind store, int hours)
    {
        await using var days = await DaysYard.OpenAsync(Day, store);
        await days.LiveUntilTheNightBeforeAsync();
        await days.LiveAsync(Day.At(1, "07:30"), TimeSpan.FromMinutes(30));
        var told = await ToldAsync(days);

        days.Service.Clock.AdjustTime(Day.At(1, "07:30").AddHours(-hours));
        foreach (var horse in days.Horses)
            await days.Service.QueueAsync(horse);
        await days.LiveAsync(Day.At(1, "07:30"), TimeSpan.FromMinutes(30));
        Assert.Equal(told, await ToldAsync(days));
        await days.LiveAsync(Day.At(3, "12:00"), TimeSpan.FromMinutes(30));

        Assert.Equal(
            ["fitter digest 2 07:00 overdue Teasel", "fitter digest 3 07:00 overdue Bramble", "fitter digest 3 07:00 overdue Merlin", "fitter digest 3 07:00 overdue Wren", "manager digest 3 07:00 overdue Wren"],
            (await ToldAsync(days)).Except(told).Order());
        Assert.All(["Bramble", "Merlin"], horse => Assert.Equal(["opened 0 at -7 03:00", "due 0 at 0 03:00", "overdue 0 at 1 03:00"], days.Told(horse, "remeasure")));
        Assert.Equal(days.Digests.Distinct(), days.Digests);
        await days.ShouldHaveReceivedEverythingOnceAsync();
        await days.ShouldHaveNothingToDoAsync();
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task WhatHappensMeanwhile_isToldAtOnce_afterWhatWasToldBefore(StoreKind store)
    {
        await using var days = await DaysYard.OpenAsync(Day, store);
        await days.LiveUntilTheNightBeforeAsync();
        await days.LiveAsync(Day.At(0, "12:00"), TimeSpan.FromHours(1));
        await days.Service.QueueAsync(days.Horse("Merlin")); // And not assessed before the clock is set.
        var before = days.Received.Count;

        days.Service.Clock.AdjustTime(Day.At(-2, "12:00"));
        await days.Yard.SeeAsync("dry-patch", days.Horse("Merlin"));
        await days.WorkAsync();

        Assert.Equal(["opened -2 at -2 12:00", "due -2 at -2 12:00"], days.Told("Merlin", "fit"));
        Assert.Equal("at-once -2 12:00 raised Merlin", (await days.WrittenAsync(days.Manager))[^1]);
        Assert.True(days.Received.Count > before);
        await days.ShouldHaveReceivedEverythingOnceAsync();
    }

    [Theory, InlineData(1), InlineData(48)]
    public async Task WhoeverWasOut_staysOut_andWhatWasAskedIsNotDoneTwice(int hours)
    {
        await using var service = await RunningService.StartAsync(role: Hosting.ServiceRole.Api);
        var yardId = await service.YardAsync();
        using var page = await PageClient.SignedInAsync(service);
        var made = (await service.Admin.PostAsync("/v1/keys", new { name = "gone", scopes = new[] { "read" }, yardIds = new[] { yardId } })).Should(HttpStatusCode.Created);
        var gone = service.ClientFor(made["secret"]!.GetValue<string>());
        service.Clock.Advance(TimeSpan.FromHours(14));
        (await page.GetAsync("/")).Should(HttpStatusCode.Found);
        (await service.Admin.SendAsync(HttpMethod.Delete, $"/v1/keys/{made["id"]}", null)).Should(HttpStatusCode.OK);
        Task<Reply> Post() => service.Admin.PostAsync("/v1/horses", new { yardId, name = "Bramble" }, ("Idempotency-Key", "once"));
        var first = (await Post()).Should(HttpStatusCode.Created);

        service.Clock.AdjustTime(service.Clock.GetUtcNow().AddHours(-hours));

        (await gone.GetAsync("/v1/horses")).ShouldBeProblem(HttpStatusCode.Unauthorized, "no-key");
        (await page.GetAsync("/")).Should(HttpStatusCode.Found);
        Assert.True(JsonNode.DeepEquals(first.Body, (await Post()).Should(HttpStatusCode.Created).Body));
        Assert.Single((await service.Admin.GetAsync("/v1/horses")).Items);
        var next = await service.Admin.MakeAsync("/v1/horses", new { yardId, name = "Sorrel" });
        Assert.True(string.CompareOrdinal(next, first["id"]!.GetValue<string>()) > 0);
    }

    /// <summary>Everything that anybody was told.</summary>
    private static async Task<IReadOnlyList<string>> ToldAsync(DaysYard days) =>
    [
        .. (await days.WrittenAsync(days.Manager)).Select(line => $"manager {line}"),
        .. (await days.WrittenAsync(days.Fitter)).Select(line => $"fitter {line}"),
        .. days.Received.Select(got => $"{got.Type} {got.HorseId} {got.Sequence}"),
    ];
}
