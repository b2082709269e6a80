using System.Globalization;
using System.Net.Http.Headers;
using System.Text.Json.Nodes;

namespace BackTracker.Service.Demo;

/// <summary>The demo's people use the service as everyone does: over HTTP.</summary>
internal sealed class DemoApi : IDisposable
{
    private readonly HttpClient _http;

    public DemoApi(string address, string key)
    {
        _http = new HttpClient { BaseAddress = new Uri(address) };
        _http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", key);
    }

    public async Task<JsonNode> GetAsync(string path) => (await SendAsync(HttpMethod.Get, path, null, null)).Body!;

    public async Task<JsonNode> PostAsync(string path, object body) => (await SendAsync(HttpMethod.Post, path, body, null)).Body!;

    /// <summary>Posts and returns the id of what was made.</summary>
    public async Task<string> MakeAsync(string path, object body) => (await PostAsync(path, body))["id"]!.GetValue<string>();

    /// <summary>Reads a thing for its version, then changes its state.</summary>
    public async Task ActAsync(string path, string action, object body)
    {
        var (_, etag) = await SendAsync(HttpMethod.Get, path, null, null);
        await SendAsync(HttpMethod.Post, $"{path}/{action}", body, etag);
    }

    public static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private async Task<(JsonNode? Body, string? Etag)> SendAsync(HttpMethod method, string path, object? body, string? etag)
    {
        using var request = new HttpRequestMessage(method, path);
        if (body is not null)
            request.Content = JsonContent.Create(body);
        if (etag is not null)
            request.Headers.TryAddWithoutValidation("If-Match", etag);
        using var response = await _http.SendAsync(request);
        var text = await response.Content.ReadAsStringAsync();
        if (!response.IsSuccessStatusCode)
            throw new InvalidOperationException($"The demo could not {method} {path}: {text}");
        return (text.Length == 0 ? null : JsonNode.Parse(text), response.Headers.ETag?.ToString());
    }

    public void Dispose() => _http.Dispose();
}
