using System.Globalization;
using System.Text.Json.Nodes;
using BackTracker.Service.Tests.OpenApi;
using CsCheck;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>Sends many requests to every operation in turn and keeps one of each kind of fault, made as small as it will go.</summary>
internal sealed class HostileRound : IDisposable
{
    private readonly HostileCaller _caller;
    private readonly Verdict _verdict;
    private readonly IdPool _pool;
    private readonly IReadOnlyList<(Operation Operation, Gen<HostileRequest> Requests)> _operations;

    public HostileRound(string address, string key, string document, (RouteWorld Own, RouteWorld Theirs) worlds, DateOnly today)
    {
        _caller = new HostileCaller(address, key);
        _verdict = new Verdict(new ContractChecker(document), [.. worlds.Theirs.Ids]);
        _pool = new IdPool(worlds.Own.IdOfKind, worlds.Theirs.IdOfKind);
        var json = JsonNode.Parse(document)!;
        var requests = new RequestGen(new SchemaGen(json, _pool, today), _pool, worlds.Own.BodyOfRoute);
        _operations = [.. Operation.All(json).Select(operation => (operation, requests.To(operation)))];
    }

    /// <summary>What went wrong, by operation and fault.</summary>
    public Dictionary<string, string> Faults { get; } = [];

    /// <summary>How often each operation did what it was asked.</summary>
    public Dictionary<string, int> Done { get; } = [];

    /// <summary>Operations that were asked for.</summary>
    public IEnumerable<string> Asked => _operations.Select(pair => pair.Operation.Route);

    public async Task RunAsync(ulong seed, int count, int atOnce)
    {
        foreach (var batch in Enumerable.Range(0, count).Chunk(atOnce))
        {
            var asked = batch.Select(i => (_operations[i % _operations.Count].Operation, Request: _operations[i % _operations.Count].Requests.Generate(new PCG((uint)i + 1, seed), null, out _))).ToList();
            var answers = await Task.WhenAll(asked.Select(one => Task.Run(() => _caller.SendAsync(one.Request))));
            foreach (var (one, answer) in asked.Zip(answers))
                await JudgeAsync(one.Operation, one.Request, answer);
        }
    }

    public void Dispose() => _caller.Dispose();

    private async Task JudgeAsync(Operation operation, HostileRequest request, HostileAnswer answer)
    {
        if (answer.Status is >= 200 and < 300)
            Done[operation.Route] = Done.GetValueOrDefault(operation.Route) + 1;
        if (answer.Status == 201 && answer.Headers.GetValueOrDefault("Location")?.Split('/') is [.., var kind, var id])
            _pool.Add(kind, id);
        var fault = _verdict.On(request, answer);
        if (fault.Length == 0 || Faults.ContainsKey($"{operation.Route}: {fault}"))
            return;
        var smallest = await Shrinking.ShrinkAsync(request, async smaller => _verdict.On(smaller, await _caller.SendAsync(smaller)) == fault);
        Faults[$"{operation.Route}: {fault}"] = string.Create(CultureInfo.InvariantCulture, $"{operation.Route}: {fault}\n  {smallest.ToCurl()}\n  {answer.Status} {answer.Text[..Math.Min(answer.Text.Length, 400)]}");
    }
}
