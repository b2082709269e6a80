using BackTracker.Service.Tests.OpenApi;

namespace BackTracker.Service.Tests.Harness;

/// <summary>Looks over every answer on its way to the clients of a test and keeps what is not as the committed document says.</summary>
internal sealed class ContractWatch
{
    private readonly ContractChecker _checker = new(File.ReadAllText(Path.Combine(Repository.Root, "openapi", "backtracker.v1.json")));
    private readonly HashSet<string> _faults = [];
    private readonly HashSet<string> _seen = [];

    /// <summary>How many different pairs of operation and status went by.</summary>
    public int Seen => _seen.Count;

    public async Task LookAsync(HttpResponseMessage answer, CancellationToken cancel)
    {
        await answer.Content.LoadIntoBufferAsync(cancel);
        var (method, path) = (answer.RequestMessage!.Method.Method, answer.RequestMessage.RequestUri!.PathAndQuery);
        var headers = answer.Headers.Concat(answer.Content.Headers).ToDictionary(h => h.Key, h => string.Join(", ", h.Value), StringComparer.OrdinalIgnoreCase);
        var found = _checker.Check(method, path, (int)answer.StatusCode, answer.Content.Headers.ContentType?.ToString(), headers, await answer.Content.ReadAsStringAsync(cancel));
        lock (_faults)
        {
            _faults.UnionWith(found);
            _seen.Add($"{method} {_checker.OperationOf(method, path)} {(int)answer.StatusCode}");
        }
    }

    /// <summary>Insists that every answer was as the document says, and that at least so many different ones were seen.</summary>
    public void ShouldHaveFoundNothing(int seenAtLeast)
    {
        Assert.True(_faults.Count == 0, string.Join('\n', _faults.Order(StringComparer.Ordinal)));
        Assert.True(Seen >= seenAtLeast, $"Only {Seen} different answers were seen.");
    }
}
