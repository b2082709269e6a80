using System.Net.Http.Headers;
using System.Text;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>An answer as it came; a status of 0 where none came.</summary>
internal sealed record HostileAnswer(int Status, string? ContentType, IReadOnlyDictionary<string, string> Headers, string Text);

/// <summary>Sends what no library would help to send: addresses as they are written, headers as they are given.</summary>
internal sealed class HostileCaller(string address, string key) : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(10);
    private readonly HttpClient _http = new(new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false, RequestHeaderEncodingSelector = (_, _) => Encoding.UTF8, ResponseHeaderEncodingSelector = (_, _) => Encoding.UTF8 }) { Timeout = Patience };

    public async Task<HostileAnswer> SendAsync(HostileRequest hostile)
    {
        using var request = new HttpRequestMessage(new HttpMethod(hostile.Method), new Uri(address + hostile.Address, new UriCreationOptions { DangerousDisablePathAndQueryCanonicalization = true }));
        if (hostile.Body is not null)
        {
            request.Content = new ByteArrayContent(hostile.Body.Bytes);
            request.Content.Headers.TryAddWithoutValidation("Content-Type", hostile.ContentType);
        }
        foreach (var (name, value) in hostile.Headers)
            if (!request.Headers.TryAddWithoutValidation(name, value))
                request.Content?.Headers.TryAddWithoutValidation(name, value);
        if (!request.Headers.Contains("Authorization"))
            request.Headers.Authorization = new AuthenticationHeaderValue("Bearer", key);
        try
        {
            using var response = await _http.SendAsync(request, TestContext.Current.CancellationToken);
            var headers = response.Headers.Concat(response.Content.Headers).ToDictionary(h => h.Key, h => string.Join(", ", h.Value), StringComparer.OrdinalIgnoreCase);
            return new HostileAnswer((int)response.StatusCode, response.Content.Headers.ContentType?.ToString(), headers, await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
        }
        catch (Exception error) when (error is HttpRequestException or TaskCanceledException)
        {
            return new HostileAnswer(0, null, new Dictionary<string, string>(), error.Message);
        }
    }

    public void Dispose() => _http.Dispose();
}
