using System.Net.Http.Headers;
using System.Text;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Imports;

/// <summary>Sends files as any client would.</summary>
internal static class Files
{
    public const string Csv = "text/csv";
    public const string Ndjson = "application/x-ndjson";
    public const string Header = "horse,measuredAt,measuredBy,method,exercise,station,depthMm,widthMm,leftHalfMm,rightHalfMm,repeat,weightKg,girthMm,conditionScore1to9,note\n";

    public static Task<Reply> ImportAsync(this RunningService service, string mediaType, string body, string query = "", params (string Name, string Value)[] headers) =>
        ImportAsync(service.Address, service.AdminKey, mediaType, Encoding.UTF8.GetBytes(body), query, headers);

    public static async Task<Reply> ImportAsync(string address, string key, string mediaType, byte[] body, string query = "", params (string Name, string Value)[] headers)
    {
        using var http = new HttpClient { BaseAddress = new Uri(address) };
        using var request = new HttpRequestMessage(HttpMethod.Post, "/v1/imports" + query) { Content = new ByteArrayContent(body) };
        request.Content.Headers.ContentType = MediaTypeHeaderValue.Parse(mediaType);
        request.Headers.Authorization = new("Bearer", key);
        foreach (var (name, value) in headers)
            request.Headers.TryAddWithoutValidation(name, value);
        using var response = await http.SendAsync(request, TestContext.Current.CancellationToken);
        return new Reply(response.StatusCode, response.Headers, response.Content.Headers, await response.Content.ReadAsStringAsync(TestContext.Current.CancellationToken));
    }

    public static async Task<string> ExportAsync(this ApiClient api, string yardId)
    {
        var reply = (await api.GetAsync($"/v1/yards/{yardId}/export")).Should(System.Net.HttpStatusCode.OK);
        Assert.Equal(Ndjson, reply.ContentHeaders.ContentType!.MediaType);
        return reply.Text;
    }
}
