namespace BackTracker.Service.Hosting;

/// <summary>
/// Keeps from every log, at whatever level and with or without scopes, what requests ask for: calendars are read at secret addresses, and
/// links of letters hold words that confirm and end.
/// </summary>
internal static class LogSecrecy
{
    private const string Framework = "Microsoft.AspNetCore";

    // It begins the scope that holds the path of the request, wherever it may write at all. What it would say of a failure the server says too.
    private const string OfRequests = "Microsoft.AspNetCore.Hosting.Diagnostics";

    /// <summary>Puts the condition on every rule, those of an operator among them.</summary>
    public static void AddLogSecrecy(this IServiceCollection services) => services.PostConfigure<LoggerFilterOptions>(options =>
    {
        List<LoggerFilterRule> rules = [new(null, null, options.MinLevel, null), .. options.Rules];
        options.Rules.Clear();
        foreach (var rule in rules)
            options.Rules.Add(new(rule.ProviderName, rule.CategoryName, rule.LogLevel, (provider, category, level) =>
                IsDiscreet(category ?? "", level) && (rule.Filter is null || rule.Filter(provider, category, level))));
    });

    private static bool IsDiscreet(string category, LogLevel level) => category != OfRequests
        && (level >= LogLevel.Warning || !category.StartsWith(Framework, StringComparison.Ordinal));
}
