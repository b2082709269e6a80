using System.Data.Common;
using BackTracker.Service.Tests.Harness;
using BackTracker.Storage.Tests.Harness;

namespace BackTracker.Storage.Tests.Migrations;

/// <summary>What the schema itself must not let through, whoever writes.</summary>
public sealed class SchemaTests
{
    private const string At = "2026-11-25T09:00:00.000Z";

    [Theory]
    [InlineData(StoreKind.Sqlite, "insert into phases (id, horse_id, from_day, phase, version, created_at) values ('p', 'nobody', '2026-01-01', 'rest', 1, '" + At + "')")]
    [InlineData(StoreKind.Postgres, "insert into phases (id, horse_id, from_day, phase, version, created_at) values ('p', 'nobody', '2026-01-01', 'rest', 1, '" + At + "')")]
    [InlineData(StoreKind.Sqlite, "delete from horses where id = '" + Larkfield.Horse + "'")]
    [InlineData(StoreKind.Postgres, "delete from horses where id = '" + Larkfield.Horse + "'")]
    public async Task Write_danglingReference_isRefused(StoreKind kind, string sql)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await Larkfield.FillAsync(store);

        var refusal = await Assert.ThrowsAnyAsync<DbException>(() => store.ExecuteAsync(sql));

        Assert.False(store.Dialect.IsUniqueViolation(refusal));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Write_secondLivingCheckOfOneKind_isRefusedUntilTheFirstIsDone(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await Larkfield.FillAsync(store);
        const string second =
            $"""
            insert into checks (id, horse_id, pairing_id, kind, state, urgency, opens_on, book_by, due_on, closes_on, reasons, accepted_risk, dropped_by_person, opened_on, version, created_at)
            select 'second', horse_id, pairing_id, kind, state, urgency, opens_on, book_by, due_on, closes_on, reasons, 0, 0, opened_on, 1, created_at
            from checks where id = '{Larkfield.Check}'
            """;

        var refusal = await Assert.ThrowsAnyAsync<DbException>(() => store.ExecuteAsync(second));
        Assert.True(store.Dialect.IsUniqueViolation(refusal));

        await store.ExecuteAsync($"update checks set state = 'done' where id = '{Larkfield.Check}'");
        await store.ExecuteAsync(second);
        Assert.Equal(["2"], await store.ListAsync("select count(*) from checks"));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Write_sameMicrochipTwice_isRefused(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await Larkfield.FillAsync(store);
        await store.ExecuteAsync($"update horses set microchip = '826000000000001' where id = '{Larkfield.Horse}'");

        var refusal = await Assert.ThrowsAnyAsync<DbException>(() => store.ExecuteAsync($"update horses set microchip = '826000000000001' where id = '{Larkfield.OtherHorse}'"));

        Assert.True(store.Dialect.IsUniqueViolation(refusal));
    }

    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task WriteSession_withoutCommit_keepsNothing(StoreKind kind)
    {
        await using var store = await OpenStore.CreateAsync(kind);
        await using (var session = await store.Database.WriteAsync("test", TestContext.Current.CancellationToken))
            await Audit.AuditStore.NoteAsync(session, "create", "yard", Larkfield.Yard);

        Assert.Empty(await store.ListAsync("select id from audit"));
    }
}
