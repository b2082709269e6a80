using System.Net.Http.Headers;
using System.Net.Http.Json;
using System.Text.Json.Nodes;

namespace BackTracker.Faults;

/// <summary>A client that writes down what was acknowledged, and nothing else.</summary>
internal sealed class Client : IDisposable
{
    private readonly HttpClient _http;

    public Client(Uri address, string key)
    {
        _http = new HttpClient { BaseAddress = address };
        _http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", key);
    }

    public async Task<JsonNode> GetAsync(string path) => JsonNode.Parse(await _http.GetStringAsync(path, TestContext.Current.CancellationToken))!;

    /// <summary>Posts and returns the id of what was made.</summary>
    public async Task<string> MakeAsync(string path, object body, string? idempotencyKey = null)
    {
        using var request = new HttpRequestMessage(HttpMethod.Post, path) { Content = JsonContent.Create(body) };
        if (idempotencyKey is not null)
            request.Headers.Add("Idempotency-Key", idempotencyKey);
        using var response = await _http.SendAsync(request, TestContext.Current.CancellationToken);
        var text = await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        return response.IsSuccessStatusCode ? JsonNode.Parse(text)!["id"]!.GetValue<string>() : throw new InvalidOperationException($"{path}: {text}");
    }

    public void Dispose() => _http.Dispose();
}
