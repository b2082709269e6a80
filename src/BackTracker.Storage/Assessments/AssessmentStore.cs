using BackTracker.Storage.Sessions;

namespace BackTracker.Storage.Assessments;

/// <summary>A stored assessment: what was read, by what version, and what came out.</summary>
public sealed record AssessmentRow
{
    /// <summary>Id.</summary>
    public string Id { get; init; } = "";

    /// <summary>The horse.</summary>
    public string HorseId { get; init; } = "";

    /// <summary>The day it is about, in the yard's time.</summary>
    public string AssessedOn { get; init; } = "";

    /// <summary>Version of the rules.</summary>
    public string EngineVersion { get; init; } = "";

    /// <summary>Ids and versions of what was read and the policy, as JSON.</summary>
    public string Inputs { get; init; } = "{}";

    /// <summary>What came out, as JSON.</summary>
    public string Outputs { get; init; } = "{}";

    /// <summary>Hash of everything that would make another assessment worth storing.</summary>
    public string Signature { get; init; } = "";

    /// <summary>When it was stored.</summary>
    public string CreatedAt { get; init; } = "";
}

/// <summary>Assessments; append-only.</summary>
public static class AssessmentStore
{
    private const string Columns = "a.id, a.horse_id, a.assessed_on, a.engine_version, a.inputs, a.outputs, a.signature, a.created_at";

    /// <summary>An assessment the caller may see.</summary>
    public static Task<AssessmentRow?> FindAsync(ReadSession session, Sight sight, string id) => session.FirstAsync<AssessmentRow>(
        $"select {Columns} from assessments a join horses h on h.id = a.horse_id where a.id = @id and {session.Sees("h.yard_id", sight)}",
        new { id, sight.Yards });

    /// <summary>Assessments of a horse.</summary>
    public static async Task<Paged<AssessmentRow>> ListAsync(ReadSession session, string horseId, Page page) => Paged<AssessmentRow>.From(
        await session.ListAsync<AssessmentRow>(
            $"select {Columns} from assessments a where a.horse_id = @horseId and a.id > @After order by a.id limit @LimitAndOne",
            new { horseId, page.After, page.LimitAndOne }),
        page, a => a.Id);

    /// <summary>The latest assessment of a horse; null before the first.</summary>
    public static Task<AssessmentRow?> LatestAsync(ReadSession session, string horseId) => session.FirstAsync<AssessmentRow>(
        $"select {Columns} from assessments a where a.horse_id = @horseId order by a.id desc limit 1", new { horseId });

    /// <summary>The latest assessment of every active horse of a yard.</summary>
    public static Task<IReadOnlyList<AssessmentRow>> LatestInYardAsync(ReadSession session, string yardId) => session.ListAsync<AssessmentRow>(
        $"""
        select {Columns} from horses h join assessments a
            on a.id = (select b.id from assessments b where b.horse_id = h.id order by b.id desc limit 1)
        where h.yard_id = @yardId and h.status = 'active'
        """, new { yardId });

    /// <summary>Adds an assessment.</summary>
    public static Task AddAsync(WriteSession session, AssessmentRow assessment) => session.ExecuteAsync(
        """
        insert into assessments (id, horse_id, assessed_on, engine_version, inputs, outputs, signature, created_at)
        values (@Id, @HorseId, @AssessedOn, @EngineVersion, @Inputs, @Outputs, @Signature, @CreatedAt)
        """, assessment);
}
