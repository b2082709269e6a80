using System.Text.RegularExpressions;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Yards;

/// <summary>Under which heading of the board's page a horse stands.</summary>
public sealed partial class BoardPageTests
{
    // Measured every forty days: the next measurement is due before the fit check, which is late to be booked all the same.
    [Fact]
    public async Task Board_aVisitIsToBeBookedNow_behindAMeasurementThatIsDueBefore_putsTheHorseUnderNow()
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        foreach (var days in new[] { 40, 40, 40, 32 })
        {
            await yard.MeasureAsync(310);
            await service.PassDaysAsync(days);
        }

        var line = (await service.Admin.GetAsync($"/v1/yards/{yard.YardId}/board"))["horses"]![0]!;
        var page = await PageAsync(service, $"/yards/{yard.YardId}");

        Assert.Equal("remeasure", line["nextCheck"]!["kind"]!.GetValue<string>());
        Assert.True(string.CompareOrdinal(line["nextCheck"]!["bookBy"]!.GetValue<string>(), yard.Today.ToString("O")) > 0, line.ToJsonString());
        Assert.Contains(line["checks"]!.AsArray(), c => c!["kind"]!.GetValue<string>() == "fit" && string.CompareOrdinal(c["bookBy"]!.GetValue<string>(), yard.Today.ToString("O")) <= 0);
        Assert.Equal(["Now"], Headings().Matches(page).Select(heading => heading.Groups[1].Value));
    }

    /// <summary>A page as the administrator sees it.</summary>
    private static async Task<string> PageAsync(RunningService service, string path)
    {
        var cancel = TestContext.Current.CancellationToken;
        using var http = new HttpClient { BaseAddress = new Uri(service.Address) };
        var token = Token().Match(await http.GetStringAsync("/sign-in", cancel)).Groups[1].Value;
        using var form = new FormUrlEncodedContent([new("__RequestVerificationToken", token), new("key", service.AdminKey)]);
        using var signedIn = await http.PostAsync("/sign-in", form, cancel);
        return await http.GetStringAsync(path, cancel);
    }

    [GeneratedRegex("""<h2 id="group-\d">([^<]+)</h2>""")]
    private static partial Regex Headings();

    [GeneratedRegex("""name="__RequestVerificationToken" value="([^"]+)""")]
    private static partial Regex Token();
}
