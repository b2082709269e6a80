namespace BackTracker.Service.Http;

/// <summary>A kind of problem: a stable URN, its status and its title. Every one stands in docs/errors.md.</summary>
/// <param name="Name">Last part of the URN.</param>
/// <param name="Status">HTTP status.</param>
/// <param name="Title">What went wrong, the same text each time.</param>
public sealed record ProblemKind(string Name, int Status, string Title)
{
    public const string Prefix = "urn:backtracker:problem:";

    public string Type => Prefix + Name;

    public static readonly ProblemKind Malformed = new("malformed", 400, "The request could not be read");
    public static readonly ProblemKind UnknownMember = new("unknown-member", 400, "The request holds a member that is not known here");
    public static readonly ProblemKind BadQuery = new("bad-query", 400, "A query parameter could not be read");
    public static readonly ProblemKind NoKey = new("no-key", 401, "A valid API key is needed");
    public static readonly ProblemKind WrongScope = new("wrong-scope", 403, "The key does not have the scope for this");
    public static readonly ProblemKind NotFound = new("not-found", 404, "There is no such thing here");
    public static readonly ProblemKind MethodNotAllowed = new("method-not-allowed", 405, "This address does not answer that method");
    public static readonly ProblemKind TooSlow = new("too-slow", 408, "The request came too slowly");
    public static readonly ProblemKind Conflict = new("conflict", 409, "The state of things does not allow this");
    public static readonly ProblemKind VetFirst = new("vet-first", 409, "A vet has to look first");
    public static readonly ProblemKind Stale = new("stale", 412, "It was changed since you read it");
    public static readonly ProblemKind TooLarge = new("too-large", 413, "The request is too large");
    public static readonly ProblemKind MediaType = new("media-type", 415, "The body is not of a type that is taken here");
    public static readonly ProblemKind Impossible = new("impossible", 422, "The request could be read, but what it says cannot be");
    public static readonly ProblemKind ImportRefused = new("import-refused", 422, "The file has faults");
    public static readonly ProblemKind KeyReused = new("idempotency-key-reused", 422, "The idempotency key was used before for another request");
    public static readonly ProblemKind IfMatchMissing = new("if-match-missing", 428, "Say which version you are changing");
    public static readonly ProblemKind QuotaExceeded = new("quota-exceeded", 429, "Too many requests within a minute");
    public static readonly ProblemKind Unexpected = new("unexpected", 500, "Something went wrong here");
    public static readonly ProblemKind NotReady = new("not-ready", 503, "The service is not ready");

    /// <summary>All of them, in order of status.</summary>
    public static IReadOnlyList<ProblemKind> All { get; } =
    [
        Malformed, UnknownMember, BadQuery, NoKey, WrongScope, NotFound, MethodNotAllowed, TooSlow, Conflict, VetFirst, Stale, TooLarge,
        MediaType, Impossible, ImportRefused, KeyReused, IfMatchMissing, QuotaExceeded, Unexpected, NotReady,
    ];

    /// <summary>The kind for a status that the framework gave.</summary>
    public static ProblemKind OfStatus(int status) => All.FirstOrDefault(k => k.Status == status) ?? (status < 500 ? Malformed : Unexpected);
}

/// <summary>Ends a request with a problem document.</summary>
/// <param name="kind">What kind.</param>
/// <param name="detail">What was wrong and how to mend it.</param>
/// <param name="cause">What the log is to hold besides.</param>
public sealed class ProblemException(ProblemKind kind, string detail, Exception? cause = null) : Exception(detail, cause)
{
    public ProblemKind Kind => kind;

    /// <summary>Faults by JSON pointer.</summary>
    public IReadOnlyDictionary<string, string[]> Errors { get; init; } = new Dictionary<string, string[]>();

    public static ProblemException NotFound(string what, string id) =>
        new(ProblemKind.NotFound, $"There is no {what} {id} that this key may see.");

    /// <summary>Two changes of one thing met, and the other one won.</summary>
    public static ProblemException Overtaken() =>
        new(ProblemKind.Stale, "Somebody else changed it at the same moment. Read it again and send the change with its new ETag.");

    /// <summary>A record is voided once.</summary>
    public static ProblemException VoidedAlready(string? reason) =>
        new(ProblemKind.Conflict, $"It was voided already, for this reason: {reason}");

    /// <summary>The same problem where what it is about is an entry of a list in a larger request, whose own members keep their pointers.</summary>
    public ProblemException Within(string entry, params string[] own) => new(Kind, Message)
    {
        Errors = Errors.Count == 0
            ? new Dictionary<string, string[]> { [entry] = [Message] }
            : Errors.ToDictionary(fault => own.Contains(fault.Key) ? fault.Key : entry + fault.Key, fault => fault.Value),
    };

    /// <summary>One impossible member.</summary>
    public static ProblemException Impossible(string pointer, string text) => Impossible(new Dictionary<string, string[]> { [pointer] = [text] });

    /// <summary>Several impossible members.</summary>
    public static ProblemException Impossible(IReadOnlyDictionary<string, string[]> errors) =>
        new(ProblemKind.Impossible, string.Join(" ", errors.SelectMany(e => e.Value).Distinct())) { Errors = errors };
}
