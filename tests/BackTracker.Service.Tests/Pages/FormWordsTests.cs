using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Pages;

/// <summary>People are told what is wrong in their words, not in those for programs.</summary>
public sealed class FormWordsTests
{
    [Theory]
    [InlineData("events", "/on", "14 March 2026", "Write a day as 2026-03-14")]
    [InlineData("events", "/note", "", "This is needed.")]
    [InlineData("events", "/note", "long", "At most 2000 characters.")]
    [InlineData("events", "/planned", "perhaps", "Choose one of the answers.")]
    [InlineData("observe", "/score", "12.5", "Write a whole number, such as 7.")]
    [InlineData("observe", "/score", "abc", "Write a whole number, such as 7.")]
    [InlineData("measure", "/weightKg", "abc", "Write a number, such as 12.5.")]
    [InlineData("measure", "/measuredAt", "yesterday", "Write day and time as 2026-03-14T09:30.")]
    [InlineData("measure", "/method", "flexible-curve", "Choose who.")]
    public async Task Refusal_isSaidForPeople(string form, string field, string value, string words)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        using var client = await PageClient.SignedInAsync(service);
        var path = $"/horses/{yard.HorseId}/{form}";
        var usual = form == "measure"
            ? new Dictionary<string, string> { ["once"] = Guid.CreateVersion7().ToString(), ["/measuredAt"] = "2026-11-25T08:00", ["/method"] = "flexible-curve", ["/exercise"] = "before", ["/weightKg"] = "520" }
            : [];
        usual[field] = value == "long" ? new string('a', 2001) : value;

        var reply = (await client.FillAsync(path, path, [.. usual.Select(f => (f.Key, f.Value))])).Should(HttpStatusCode.UnprocessableEntity);

        Assert.Contains(words, reply.Text, StringComparison.Ordinal);
        foreach (var inner in new[] { "is required", "must be", "is the id of", "could not be converted" })
            Assert.DoesNotContain(inner, reply.Text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Note_thatReadsTrue_staysText_andATickStaysATick()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        using var client = await PageClient.SignedInAsync(service);
        var path = $"/horses/{yard.HorseId}/events";

        (await client.FillAsync(path, path, ("/on", "2026-11-30"), ("/kind", "lay-off"), ("/planned", "true"), ("/note", "true"))).Should(HttpStatusCode.Found);

        var recorded = Assert.Single((await service.Admin.GetAsync($"/v1/horses/{yard.HorseId}/events")).Items)!;
        Assert.Equal(("true", true), (recorded["note"]!.GetValue<string>(), recorded["planned"]!.GetValue<bool>()));
    }

    [Fact]
    public async Task WhatWasTaken_isSaidOnce_onThePageGoneTo()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        using var client = await PageClient.SignedInAsync(service);
        var path = $"/horses/{yard.HorseId}/events";

        var next = (await client.FillAsync(path, path, ("/on", "2026-11-25"), ("/kind", "lay-off"))).Should(HttpStatusCode.Found).Headers.Location!.OriginalString;

        Assert.Contains("<p class=\"said\" role=\"status\">Recorded.</p>", (await client.GetAsync(next)).Text, StringComparison.Ordinal);
        Assert.DoesNotContain("Recorded.</p>", (await client.GetAsync(next)).Text, StringComparison.Ordinal);
    }
}
