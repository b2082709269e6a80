namespace BackTracker.Storage.Tests;

public sealed class IdsTests
{
    [Fact]
    public void New_manyInOneInstantAndWithAClockThatGoesBack_sortInTheOrderTheyWereMade()
    {
        var now = new DateTimeOffset(2026, 11, 25, 9, 0, 0, TimeSpan.Zero);

        var ids = Enumerable.Range(0, 20_000).Select(i => Ids.New(i % 3 == 0 ? now.AddMilliseconds(-5) : now)).ToList();

        Assert.Equal(ids.Count, ids.Distinct().Count());
        Assert.Equal(ids.Order(StringComparer.Ordinal), ids);
    }

    /// <summary>RFC 9562, 5.7: 48 bits of milliseconds, version 7 in the 13th digit, variant 10 in the 17th.</summary>
    [Fact]
    public void New_id_hasTheLayoutOfRfc9562()
    {
        var id = Ids.New(DateTimeOffset.FromUnixTimeMilliseconds(0x7fff_0000_0000));

        Assert.Equal('7', id[14]);
        Assert.Contains(id[19], "89ab");
        Assert.Equal("7fff0000", id[..8]);
        Assert.Equal(id, Ids.Canonical(id.ToUpperInvariant()));
    }

    [Theory]
    [InlineData("")]
    [InlineData(null)]
    [InlineData("1")]
    [InlineData("{0199f6c2-0000-7000-8000-000000000001}")]
    [InlineData("0199f6c20000700080000000000000001")]
    public void Canonical_noUuid_isNull(string? text) => Assert.Null(Ids.Canonical(text));
}
