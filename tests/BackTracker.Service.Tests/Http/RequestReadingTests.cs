using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Http;

public sealed class RequestReadingTests
{
    [Theory]
    [InlineData("/v1/checks?horseid=x", "horseid")]
    [InlineData("/v1/people?foo=1", "takes no query|foo")]
    [InlineData("/v1/checks?dueBefore=2026-02-30", "dueBefore")]
    [InlineData("/v1/checks?dueBefore=x", "2026-03-14")]
    [InlineData("/v1/yards?limit=0", "limit")]
    [InlineData("/v1/calendars/nobody.ics?x=1", "takes no query")]
    [InlineData("/v1/observations?open=maybe", "true or false")]
    public async Task Query_thatCannotBeRead_isRefusedByName(string path, string words)
    {
        await using var service = await RunningService.StartAsync();

        var detail = (await service.Admin.GetAsync(path)).ShouldBeProblem(HttpStatusCode.BadRequest, "bad-query")["detail"]!.GetValue<string>();

        Assert.Contains(words.Split('|'), word => detail.Contains(word, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("", "body is missing")]
    [InlineData("null", "body is missing")]
    [InlineData("   ", "not valid JSON")]
    [InlineData("{\"name\":\"A\",}", "not valid JSON")]
    [InlineData("{\"name\":\"A\",\"name\":\"B\"}", "'name' stands there twice")]
    [InlineData("{\"name\":7}", "text in quotes")]
    [InlineData("{\"name\":\"Lark\u202efield\"}", "direction of writing")]
    [InlineData("{\"name\":\"Lark\u2066field\"}", "direction of writing")]
    public async Task Body_thatCannotBeRead_isRefusedInPlainWords(string body, string words)
    {
        await using var service = await RunningService.StartAsync();

        var refused = (await service.Admin.SendAsync(HttpMethod.Post, "/v1/yards", body)).ShouldBeProblem(HttpStatusCode.BadRequest, "malformed");

        Assert.Contains(words, refused["detail"]!.GetValue<string>(), StringComparison.Ordinal);
        foreach (var inner in new[] { "BackTracker", "System.", "reader options", "isFinalBlock", "Implicit" })
            Assert.DoesNotContain(inner, refused.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{\"\":1}", "/", "''")]
    [InlineData("{\"it's\":1}", "/it's", "'it's'")]
    [InlineData("{\"a/b~c\":1}", "/a~1b~0c", "'a/b~c'")]
    [InlineData("{\"a\\nb\":1}", "/a\nb", "'a\nb'")]
    [InlineData("{\"closedDays\":[{\"x y\":1}]}", null, "")]
    [InlineData("{\"\\ud800\":1}", null, "")]
    public async Task Member_withAnOddName_isRefusedInPlainWordsAtItsPointer(string body, string? pointer, string words)
    {
        await using var service = await RunningService.StartAsync();

        var refused = (await service.Admin.SendAsync(HttpMethod.Post, "/v1/yards", body)).Should(HttpStatusCode.BadRequest);

        Assert.Contains(words, refused["detail"]!.GetValue<string>(), StringComparison.Ordinal);
        Assert.True(pointer is null || refused["errors"]![pointer] is not null, refused.Text);
        foreach (var inner in new[] { "BackTracker.", "System.", ".NET", "reader options" })
            Assert.DoesNotContain(inner, refused.Text, StringComparison.Ordinal);
    }
}
