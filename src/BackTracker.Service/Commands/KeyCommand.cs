using System.CommandLine;
using BackTracker.Service.Features.Keys;
using BackTracker.Service.Features.People;
using BackTracker.Service.Features.Yards;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.Audit;
using BackTracker.Storage.Keys;

namespace BackTracker.Service.Commands;

/// <summary>`key`: makes, lists and ends API keys. Works beside a running service, and is how the first key comes about.</summary>
internal static class KeyCommand
{
    private static readonly Caller Operator = Caller.Service("command-line");

    public static Command Create() => new("key", "Make, list and revoke API keys.") { Add(), List(), Revoke() };

    private static Command Add()
    {
        var store = new StoreOptions();
        var name = new Option<string>("--name") { Description = "What the key is for.", HelpName = "NAME", Required = true };
        var scopes = new Option<Scope[]>("--scopes")
        {
            Description = $"What it may do, parted by commas: {string.Join(", ", Words.Of<Scope>())}.",
            HelpName = "SCOPES",
            Required = true,
            CustomParser = result => [.. Parts(result.Tokens).Select(word =>
            {
                if (!Words.TryParse<Scope>(word, out var scope))
                    result.AddError($"--scopes: `{word}` is no scope. Use {string.Join(", ", Words.Of<Scope>())}, parted by commas.");
                return scope;
            })],
        };
        var yards = new Option<string[]>("--yard")
        {
            Description = "Id of a yard it reaches; may be given several times. Without it the key reaches every yard, which needs the scope admin.",
            HelpName = "ID",
        };
        var person = new Option<string?>("--person") { Description = "Id of the person who uses it; what they record is then theirs.", HelpName = "ID" };
        var expires = new Option<DateOnly?>("--expires")
        {
            Description = "Last day it works, for example 2027-03-31.",
            HelpName = "DAY",
            CustomParser = result =>
            {
                if (QueryDay.TryParse(result.Tokens[0].Value, null, out var day))
                    return day.Day;
                result.AddError($"--expires: {QueryDay.Hint}");
                return null;
            },
        };
        var command = new Command("add", "Make a key. Prints the key, which is shown this once and kept nowhere, and nothing else.") { name, scopes, yards, person, expires };
        store.AddTo(command);
        command.SetAction((parsed, cancel) => AddAsync(parsed, store, new KeyRequest
        {
            Name = parsed.GetValue(name)!.Trim(),
            Scopes = parsed.GetValue(scopes),
            YardIds = parsed.GetValue(yards),
            PersonId = parsed.GetValue(person),
            ExpiresOn = parsed.GetValue(expires),
        }, cancel));
        return command.WithExamples(
            "backtracker key add --data ./data --name \"First key\" --scopes admin",
            "KEY=$(backtracker key add --data ./data --name \"Stable app\" --scopes record,manage --yard 0199f6c2-...)");
    }

    private static IEnumerable<string> Parts(IReadOnlyList<System.CommandLine.Parsing.Token> tokens) =>
        tokens.SelectMany(t => t.Value.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries));

    private static async Task<int> AddAsync(ParseResult parsed, StoreOptions store, KeyRequest request, CancellationToken cancel)
    {
        Requests.Validate(request);
        var database = await store.OpenOrMakeAsync(parsed, cancel);
        await using var session = await database.WriteAsync(Operator.KeyId, cancel);
        var yards = new List<string>();
        foreach (var yardId in request.YardIds ?? [])
            yards.Add((await YardEndpoints.RequireAsync(session, Operator, yardId)).Id);
        var person = request.PersonId is { } personId ? await PersonEndpoints.RequireAsync(session, Operator, personId) : null;
        var (_, secret) = await KeyMaker.MakeAsync(session, request with { YardIds = yards, PersonId = person?.Id });
        await session.CommitAsync();
        Console.WriteLine(secret);
        return 0;
    }

    private static Command List()
    {
        var store = new StoreOptions();
        var command = new Command("list", "List keys, one a line: id, state, scopes, yards (`every` for all) and name, parted by tabs. Secrets are not kept and cannot be shown.");
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            var database = await store.OpenAsync(parsed, cancel);
            await using var session = await database.ReadAsync(cancel);
            for (var after = ""; after is not null;)
            {
                var page = await KeyStore.ListAsync(session, Sight.All, new Page(after, 500));
                foreach (var key in page.Items)
                    Console.WriteLine(string.Join('\t', key.Id, State(key), string.Join(',', Json.Read<string[]>(key.Scopes)), key.EveryYard == 1 ? "every" : key.Yards, key.Name));
                after = page.NextAfter;
            }
            return 0;
        });
        return command.WithExamples("backtracker key list --data ./data");
    }

    private static string State(KeyRow key)
    {
        var now = TimeProvider.System.GetUtcNow();
        if (key.RevokedAt is { } at)
            return string.CompareOrdinal(at, Instants.Write(now)) <= 0 ? "revoked" : $"ends {at}";
        return key.ExpiresOn is not { } day ? "works" : string.CompareOrdinal(day, Instants.WriteDay(DateOnly.FromDateTime(now.UtcDateTime))) < 0 ? "expired" : $"until {day}";
    }

    private static Command Revoke()
    {
        var store = new StoreOptions();
        var id = new Argument<string>("ID") { Description = "Id of the key, as `key list` shows it." };
        var command = new Command("revoke", "End a key at once.") { id };
        store.AddTo(command);
        command.SetAction(async (parsed, cancel) =>
        {
            var database = await store.OpenAsync(parsed, cancel);
            await using var session = await database.WriteAsync(Operator.KeyId, cancel);
            var key = await KeyStore.FindAsync(session, Ids.Canonical(parsed.GetValue(id)) ?? "")
                ?? throw new CommandException($"There is no key {parsed.GetValue(id)}. `backtracker key list` shows those there are.");
            await KeyStore.RevokeAsync(session, key.Id);
            await AuditStore.NoteAsync(session, "revoke", "key", key.Id);
            await session.CommitAsync();
            return 0;
        });
        return command.WithExamples("backtracker key revoke 0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69 --data ./data");
    }
}
