using System.Globalization;
using System.Text.RegularExpressions;
using BackTracker.Engine.Checks;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Policies;

/// <summary>Holds the table of docs/settings.md against the definitions.</summary>
public sealed partial class SettingsDocTests
{
    [Fact]
    public async Task Table_isThatOfTheDefinitions()
    {
        var path = Path.Combine(Repository.Root, "docs", "settings.md");
        var table = "| setting | default | range | set for | what | source of the default |\n|---|---|---|---|---|---|\n" + string.Concat(PolicySettings.All.Select(Row));
        if (Environment.GetEnvironmentVariable("BACKTRACKER_WRITE_OPENAPI") == "1")
            await File.WriteAllTextAsync(path, Table().Replace(await File.ReadAllTextAsync(path, TestContext.Current.CancellationToken), table), TestContext.Current.CancellationToken);

        Assert.True((await File.ReadAllTextAsync(path, TestContext.Current.CancellationToken)).Contains(table, StringComparison.Ordinal),
            "The table of docs/settings.md is not that of the settings. If the change is meant: BACKTRACKER_WRITE_OPENAPI=1 scripts/test");
    }

    private static string Row(PolicySetting setting) => string.Create(
        CultureInfo.InvariantCulture,
        $"| `{setting.Name}` | {setting.Of(new CheckPolicy())} {setting.Unit} | {setting.Least} to {setting.Most} | {Levels(setting.Narrowest)} | {setting.Text} | {setting.Source} |\n");

    private static string Levels(PolicyLevel narrowest) => narrowest switch
    {
        PolicyLevel.Service => "service",
        PolicyLevel.Yard => "service, yard",
        _ => "service, yard, pairing",
    };

    [GeneratedRegex(@"SETTINGS-TABLE\n|\| setting \|[^\n]*\n(\|[^\n]*\n)+")]
    private static partial Regex Table();
}
