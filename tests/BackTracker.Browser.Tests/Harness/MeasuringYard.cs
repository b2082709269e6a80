using BackTracker.Service.Tests.Harness;

namespace BackTracker.Browser.Tests.Harness;

/// <summary>A yard of one's own with a manager and a horse, so that what is recorded there disturbs nobody.</summary>
internal sealed record MeasuringYard(ApiClient Api, string YardId, string ManagerId, string HorseId)
{
    public static async Task<MeasuringYard> MakeAsync(ApiClient api)
    {
        var yard = await api.MakeAsync("/v1/yards", new { name = "Hollow End", timeZone = "America/New_York" });
        var manager = await api.MakeAsync("/v1/people", new { name = "Nell Farrow", role = "yard-manager", yardIds = new[] { yard } });
        return new MeasuringYard(api, yard, manager, await api.MakeAsync("/v1/horses", new { yardId = yard, name = "Bracken", bornOn = "2015-05-01" }));
    }

    public string Form => $"/horses/{HorseId}/measure";

    /// <summary>Secret of the manager's own key.</summary>
    public Task<string> ManagersKeyAsync() => KeyAsync(ManagerId);

    /// <summary>Secret of a key that the whole yard uses.</summary>
    public Task<string> SharedKeyAsync() => KeyAsync(null);

    public async Task<IReadOnlyList<System.Text.Json.Nodes.JsonNode>> MeasurementsAsync() =>
        [.. (await Api.GetAsync($"/v1/horses/{HorseId}/measurements")).Items.Select(m => m!)];

    private async Task<string> KeyAsync(string? personId)
    {
        var made = await Api.PostAsync("/v1/keys", new { name = "phone", scopes = new[] { "record" }, yardIds = new[] { YardId }, personId });
        return made.Should(System.Net.HttpStatusCode.Created)["secret"]!.GetValue<string>();
    }
}
