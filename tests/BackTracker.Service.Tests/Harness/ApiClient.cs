using System.Net;
using System.Net.Http.Headers;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace BackTracker.Service.Tests.Harness;

/// <summary>A plain HTTP client that speaks JSON as any integrator's would: it knows no type of the service.</summary>
internal sealed class ApiClient(HttpClient http)
{
    public Task<Reply> GetAsync(string path, params (string Name, string Value)[] headers) => SendAsync(HttpMethod.Get, path, null, headers);

    public Task<Reply> PostAsync(string path, object? body = null, params (string Name, string Value)[] headers) => SendAsync(HttpMethod.Post, path, body ?? new { }, headers);

    public Task<Reply> PutAsync(string path, object body, params (string Name, string Value)[] headers) => SendAsync(HttpMethod.Put, path, body, headers);

    /// <summary>Posts and returns the id of what was made.</summary>
    public async Task<string> MakeAsync(string path, object body)
    {
        var reply = await PostAsync(path, body);
        Assert.True(reply.Status == HttpStatusCode.Created, $"{path}: {reply.Status} {reply.Text}");
        return reply["id"]!.GetValue<string>();
    }

    /// <summary>Sends; a string body goes as it is, anything else as JSON.</summary>
    public async Task<Reply> SendAsync(HttpMethod method, string path, object? body, params (string Name, string Value)[] headers)
    {
        using var request = new HttpRequestMessage(method, path);
        if (body is not null)
            request.Content = new StringContent(body as string ?? JsonSerializer.Serialize(body), Encoding.UTF8, new MediaTypeHeaderValue("application/json"));
        foreach (var (name, value) in headers)
            if (!request.Headers.TryAddWithoutValidation(name, value))
                request.Content!.Headers.TryAddWithoutValidation(name, value);
        using var response = await http.SendAsync(request, TestContext.Current.CancellationToken);
        return new Reply(response.StatusCode, response.Headers, response.Content.Headers, await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
    }
}

/// <summary>An answer.</summary>
internal sealed record Reply(HttpStatusCode Status, HttpResponseHeaders Headers, HttpContentHeaders ContentHeaders, string Text)
{
    public JsonNode Body => JsonNode.Parse(Text)!;

    public JsonNode? this[string member] => Body[member];

    public string Etag => Headers.ETag!.ToString();

    public JsonArray Items => Body["items"]!.AsArray();

    /// <summary>Insists on a problem document of one kind.</summary>
    public Reply ShouldBeProblem(HttpStatusCode status, string kind)
    {
        Assert.True(status == Status, $"expected {(int)status} but got {(int)Status}: {Text}");
        Assert.Equal("application/problem+json", ContentHeaders.ContentType!.MediaType);
        Assert.Equal($"urn:backtracker:problem:{kind}", this["type"]!.GetValue<string>());
        Assert.False(string.IsNullOrWhiteSpace(this["detail"]!.GetValue<string>()));
        Assert.DoesNotContain("   at ", Text, StringComparison.Ordinal);
        return this;
    }

    public Reply Should(HttpStatusCode status)
    {
        Assert.True(status == Status, $"expected {(int)status} but got {(int)Status}: {Text}");
        return this;
    }
}
