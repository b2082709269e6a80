using BackTracker.Browser.Tests.Harness;
using BackTracker.Service.Tests.Harness;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace BackTracker.Browser.Tests;

/// <summary>A long import, followed on its page while the file still comes.</summary>
public sealed class ImportPageTests(SecureYard secure) : IClassFixture<SecureYard>
{
    [Fact]
    public async Task Import_isShownWhileItRuns_andWhatCameOfIt_withoutLoadingAgain()
    {
        await using var phone = await secure.PhoneAsync();
        var yard = await MeasuringYard.MakeAsync(secure.Api);
        using var file = new GrowingFile("text/csv");
        await file.WriteAsync("horse,measuredAt,measuredBy,method,exercise,station,depthMm,widthMm\n");
        var sending = secure.Http.PostAsync($"/v1/imports?yardId={yard.YardId}", file, TestContext.Current.CancellationToken);
        await phone.OpenAsync("/sign-in");
        await phone.Tab.SignInAsync(secure.Secret);
        await phone.OpenAsync("/imports");
        await Expect(phone.Page.GetByRole(AriaRole.Progressbar)).ToBeVisibleAsync();
        await phone.Tab.KeepAsync("import-running");
        await phone.Tab.AssertGoodAsync("running import");

        await file.WriteAsync($"Bracken,2026-03-02T09:00:00Z,{yard.ManagerId},arm-gauge,before,T13,150,311\n");
        await file.EndAsync();
        Assert.Equal(201, (int)(await sending).StatusCode);

        await Expect(phone.Page.GetByText("1 records from 2 lines.")).ToBeVisibleAsync();
        await Expect(phone.Page.GetByRole(AriaRole.Progressbar)).ToHaveCountAsync(0);
    }
}
