using System.CommandLine;
using BackTracker.Service.Hosting;
using BackTracker.Service.Http;

namespace BackTracker.Service.Commands;

/// <summary>What an instance is there for; on a SQLite file one does everything.</summary>
internal sealed class RoleOption
{
    private readonly StoreOptions _store;
    private readonly Option<string> _role = new("--role")
    {
        Description = "What this one of several instances on a PostgreSQL database does: api answers requests, worker runs the jobs and sends what is to be told, all does both.",
        HelpName = string.Join('|', Words.Of<ServiceRole>()),
        DefaultValueFactory = _ => Words.Write(ServiceRole.All),
    };

    public RoleOption(StoreOptions store)
    {
        _store = store;
        _role.Validators.Add(result =>
        {
            if (result.Tokens is [{ Value: var text }] && !Words.TryParse<ServiceRole>(text, out _))
                result.AddError($"--role {text} is no role: use {string.Join(", ", Words.Of<ServiceRole>().SkipLast(1))} or {Words.Of<ServiceRole>().Last()}.");
        });
    }

    public void AddTo(Command command)
    {
        command.Add(_role);
        command.Validators.Add(result =>
        {
            if (result.GetResult(_role) is { Tokens: [{ Value: var text }] } && Words.TryParse<ServiceRole>(text, out var role) && role != ServiceRole.All && !_store.NamesServer(result))
                result.AddError($"--role {text} needs a PostgreSQL database, named by --database: on a SQLite file one process does everything.");
        });
    }

    public ServiceRole Read(ParseResult parsed) => Words.Read<ServiceRole>(parsed.GetRequiredValue(_role));
}
