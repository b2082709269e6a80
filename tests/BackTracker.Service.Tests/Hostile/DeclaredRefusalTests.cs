using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>Refusals that hostile requests met and the document did not name.</summary>
public sealed class DeclaredRefusalTests
{
    [Theory]
    [InlineData("post", "/v1/pairings/{id}/what-if", "422")]
    [InlineData("get", "/v1/visits/{id}/sheet", "409")]
    [InlineData("get", "/v1/visits/{id}/sheet.pdf", "409")]
    [InlineData("get", "/v1/horses/{id}/template.pdf", "409")]
    [InlineData("get", "/v1/commissions/{id}/templates/{templateId}/template.pdf", "409")]
    [InlineData("get", "/v1/calendars/{token}.ics", "400")]
    [InlineData("post", "/v1/observations/{id}/void", "412")]
    [InlineData("post", "/v1/observations/{id}/outcome", "412")]
    [InlineData("post", "/v1/measurements/{id}/void", "412")]
    [InlineData("post", "/v1/rides/{id}/void", "412")]
    [InlineData("post", "/v1/horses/{id}/moves", "412")]
    [InlineData("post", "/v1/visits", "412")]
    public async Task Document_namesTheRefusal(string method, string path, string status)
    {
        await using var service = await RunningService.StartAsync();

        var document = (await service.Admin.GetAsync("/openapi/v1.json")).Body;

        Assert.NotNull(document["paths"]![path]![method]!["responses"]![status]);
    }
}
