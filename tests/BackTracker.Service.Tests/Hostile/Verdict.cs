using System.Text.RegularExpressions;
using BackTracker.Service.Tests.OpenApi;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>What is wrong with an answer.</summary>
internal sealed partial class Verdict(ContractChecker contract, IReadOnlyCollection<string> foreignIds)
{
    /// <summary>The largest body that has to be read to its end before it is answered.</summary>
    private const int LargestBody = 1 << 20;

    /// <summary>The first fault in a few words without what is peculiar to the request; empty where there is none.</summary>
    public string On(HostileRequest request, HostileAnswer answer)
    {
        if (answer.Status == 0)
            return request.Body?.Bytes.Length > LargestBody ? "" : $"no answer: {answer.Text}";
        if (answer.Status >= 500)
            return $"status {answer.Status}";
        if (Inside().IsMatch(answer.Text) && answer.Status >= 400)
            return "an error that shows the inside";
        if (foreignIds.FirstOrDefault(id => answer.Text.Contains(id, StringComparison.OrdinalIgnoreCase) && !IsSaid(request, id)) is { } leaked)
            return "an id of another yard: " + leaked;
        return IsForTheServerAlone(request, answer) ? "" : contract.Check(request.Method, Reached(request), answer.Status, answer.ContentType, answer.Headers, answer.Text)
            .Select(fault => fault[(fault.IndexOf(": ", StringComparison.Ordinal) + 2)..]).FirstOrDefault("");
    }

    private static bool IsSaid(HostileRequest request, string id) =>
        request.Address.Contains(id, StringComparison.OrdinalIgnoreCase) || request.Body?.Text.Contains(id, StringComparison.OrdinalIgnoreCase) == true;

    /// <summary>The path that the server sees: without the steps up and down, and whatever slash it ends with.</summary>
    private static string Reached(HostileRequest request) => new Uri(new Uri("http://127.0.0.1"), request.Path).AbsolutePath.TrimEnd('/');

    /// <summary>What is no HTTP, or a method that pages and cookies know, never comes as far as an operation.</summary>
    private static bool IsForTheServerAlone(HostileRequest request, HostileAnswer answer) =>
        answer is { Status: 400 or 414 or 431, Text: "" } && answer.Headers.GetValueOrDefault("Connection") == "close" || request.Method is "OPTIONS" && answer.Status == 405;

    [GeneratedRegex(@"\n   at |Npgsql|Sqlite|SQLSTATE|Exception\b|BackTracker\.(Service|Storage|Engine)|System\.[A-Z]")]
    private static partial Regex Inside();
}
