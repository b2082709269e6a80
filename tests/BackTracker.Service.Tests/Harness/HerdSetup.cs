using System.Net;

namespace BackTracker.Service.Tests.Harness;

/// <summary>Yards, horses and lesser keys to test with.</summary>
internal static class HerdSetup
{
    public static Task<string> YardAsync(this RunningService service, string name = "Larkfield", string timeZone = "Europe/London") =>
        service.Admin.MakeAsync("/v1/yards", new { name, timeZone });

    public static Task<string> HorseAsync(this RunningService service, string yardId, string name = "Bramble") =>
        service.Admin.MakeAsync("/v1/horses", new { yardId, name });

    /// <summary>A client whose key has one scope in some yards.</summary>
    public static async Task<ApiClient> ClientAsync(this RunningService service, string scope, params string[] yardIds)
    {
        var made = (await service.Admin.PostAsync("/v1/keys", new { name = scope, scopes = new[] { scope }, yardIds })).Should(HttpStatusCode.Created);
        return service.ClientFor(made["secret"]!.GetValue<string>());
    }

    /// <summary>The members of a list answer's items, as text.</summary>
    public static IEnumerable<string?> Texts(this Reply reply, string member) => reply.Items.Select(i => i![member]?.ToString());
}
