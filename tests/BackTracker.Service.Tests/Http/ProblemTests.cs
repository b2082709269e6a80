using System.Text;
using System.Text.RegularExpressions;
using BackTracker.Service.Http;
using BackTracker.Service.Tests.Harness;
using BackTracker.Service.Tests.OpenApi;

namespace BackTracker.Service.Tests.Http;

/// <summary>Every refusal is a problem document of a kind that docs/errors.md explains, whoever refuses.</summary>
public sealed partial class ProblemTests
{
    [Fact]
    public async Task Guide_listsEveryKindOfProblem_withItsStatus()
    {
        var guide = await File.ReadAllTextAsync(Path.Combine(Repository.Root, "docs", "errors.md"), TestContext.Current.CancellationToken);

        Assert.Equal(
            ProblemKind.All.Select(kind => $"{kind.Name} {kind.Status}").Order(StringComparer.Ordinal),
            Row().Matches(guide).Select(row => $"{row.Groups[1].Value} {row.Groups[2].Value}").Order(StringComparer.Ordinal));
    }

    [Fact]
    public async Task EveryRoute_whateverIsWrongWithTheRequest_answersAProblemOfAKnownKind()
    {
        await using var service = await RunningService.StartAsync();
        service.Contract = new ContractWatch();
        var routes = DocumentTests.Operations(await DocumentTests.CommittedAsync()).Select(o => o.Name.Split(' ')).ToList();

        foreach (var route in routes)
            await RefuseAsync(service, route[0], route[1].Replace("{", "", StringComparison.Ordinal).Replace("}", "", StringComparison.Ordinal));
        await RefuseAsync(service, "GET", "/v1/unicorns");

        service.Contract.ShouldHaveFoundNothing(seenAtLeast: 200);
    }

    private static async Task RefuseAsync(RunningService service, string method, string path)
    {
        var big = "{\"note\":\"" + new string('a', (1024 * 1024) + 1) + "\"}";
        foreach (var (verb, address, body, type) in new (string, string, string, string)[]
        {
            (method, path + "?surprise=1", "{}", "application/json"),
            (method, path, "{\"name\":", "application/json"),
            (method, path, "[1]", "application/json"),
            (method, path, "null", "application/json"),
            (method, path, "<a/>", "application/xml"),
            (method, path, big, "application/json"),
            ("PATCH", path, "{}", "application/json"),
        })
        {
            var reply = await SendAsync(service, verb, address, verb == "GET" ? "" : body, type);
            if ((int)reply.Status < 400)
                continue; // A list without a filter, or a question that takes no body: it was answered, and the contract is watched.
            Assert.Contains(ProblemKind.All, kind => kind.Type == reply["type"]!.GetValue<string>() && kind.Status == (int)reply.Status);
            Assert.Equal("application/problem+json", reply.ContentHeaders.ContentType!.MediaType);
        }
    }

    private static async Task<Reply> SendAsync(RunningService service, string method, string path, string body, string type)
    {
        using var http = new HttpClient { BaseAddress = new Uri(service.Address) };
        using var request = new HttpRequestMessage(new HttpMethod(method), path);
        request.Headers.Add("Authorization", "Bearer " + service.AdminKey);
        request.Headers.Add("If-Match", "*");
        request.Headers.ExpectContinue = true; // What is too large is then refused before it is sent.
        if (body.Length > 0)
            request.Content = new StringContent(body, Encoding.UTF8, type);
        using var answer = await http.SendAsync(request, TestContext.Current.CancellationToken);
        await service.Contract!.LookAsync(answer, TestContext.Current.CancellationToken);
        return new Reply(answer.StatusCode, answer.Headers, answer.Content.Headers, await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
    }

    [GeneratedRegex(@"^\| `([a-z-]+)` \| (\d{3}) \|", RegexOptions.Multiline)]
    private static partial Regex Row();
}
