using System.Net.Http.Headers;
using System.Net.Http.Json;
using System.Text.Json.Nodes;
using BackTracker.Faults.MixedLoad;

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

    /// <summary>Every item of a list, page after page.</summary>
    public async Task<IReadOnlyList<JsonNode>> AllAsync(string path)
    {
        var items = new List<JsonNode>();
        for (string? next = path; next is not null;)
        {
            var page = await GetAsync(next);
            items.AddRange(page["items"]!.AsArray().OfType<JsonNode>());
            next = page["next"]?.GetValue<string>();
        }
        return items;
    }

    /// <summary>The version of a thing.</summary>
    public async Task<string> EtagAsync(string path)
    {
        using var response = await _http.GetAsync(path, TestContext.Current.CancellationToken);
        return response.EnsureSuccessStatusCode().Headers.ETag!.ToString();
    }

    /// <summary>How a request to read is answered.</summary>
    public async Task<int> StatusAsync(string path)
    {
        using var response = await _http.GetAsync(path, TestContext.Current.CancellationToken);
        return (int)response.StatusCode;
    }

    /// <summary>What the service says that the time is.</summary>
    public async Task<DateTimeOffset> TimeAsync()
    {
        using var response = await _http.GetAsync("/health/live", TestContext.Current.CancellationToken);
        return response.Headers.Date!.Value;
    }

    public async Task<bool> IsGoneAsync()
    {
        try
        {
            using var response = await _http.GetAsync("/health/live", TestContext.Current.CancellationToken);
            return false;
        }
        catch (HttpRequestException)
        {
            return true;
        }
    }

    /// <summary>Sends a piece of work; what was answered, or null where nobody can say whether it was done.</summary>
    public async Task<(int Status, string Text)?> TryAsync(Work work)
    {
        using var request = new HttpRequestMessage(work.Method, work.Path) { Content = new StringContent(work.Body, System.Text.Encoding.UTF8, "application/json") };
        if (work.Method == HttpMethod.Post)
            request.Headers.Add("Idempotency-Key", work.Key);
        if (work.IfMatch.Length > 0)
            request.Headers.TryAddWithoutValidation("If-Match", work.IfMatch);
        try
        {
            using var response = await _http.SendAsync(request, TestContext.Current.CancellationToken);
            return ((int)response.StatusCode, await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        }
        catch (Exception error) when (error is HttpRequestException or IOException)
        {
            return null;
        }
    }

    public void Dispose() => _http.Dispose();
}
