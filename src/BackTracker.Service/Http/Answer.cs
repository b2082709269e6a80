namespace BackTracker.Service.Http;

/// <summary>What a handler answers: status, body and the headers that go with it.</summary>
public sealed record Answer(int Status, object? Body)
{
    public string? Location { get; init; }

    public string? Etag { get; init; }

    /// <summary>The body to remember for a replay, where the real one holds a secret.</summary>
    public object? Remembered { get; init; }

    public static Answer Created(string location, object body, long version) =>
        new(201, body) { Location = location, Etag = Conditional.Etag(version) };

    public static Answer Ok(object body, long version) => new(200, body) { Etag = Conditional.Etag(version) };

    public static Answer NoContent { get; } = new(204, null);
}
