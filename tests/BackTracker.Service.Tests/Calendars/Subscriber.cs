using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Calendars;

/// <summary>A calendar program that has the address of somebody's calendar and no key.</summary>
internal sealed class Subscriber(HttpClient http, string url)
{
    public string Url => url;

    /// <summary>The secret in the address.</summary>
    public string Token => url.Split('/')[^1][..^".ics".Length];

    public static async Task<Subscriber> OfAsync(RunningService service, string personId)
    {
        var made = (await service.Admin.PostAsync($"/v1/people/{personId}/calendar-token")).Should(HttpStatusCode.OK);
        return new Subscriber(new HttpClient(), made["url"]!.GetValue<string>());
    }

    public async Task<HttpResponseMessage> FetchAsync(HttpMethod? method = null, string? ifNoneMatch = null)
    {
        using var request = new HttpRequestMessage(method ?? HttpMethod.Get, url);
        if (ifNoneMatch is not null)
            request.Headers.TryAddWithoutValidation("If-None-Match", ifNoneMatch);
        return await http.SendAsync(request, TestContext.Current.CancellationToken);
    }

    public async Task<string> TextAsync()
    {
        using var response = await FetchAsync();
        Assert.Equal(HttpStatusCode.OK, response.StatusCode);
        return await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
    }

    public async Task<ReadCalendar> ReadAsync() => await ReadCalendar.OfAsync(await TextAsync());
}
