using System.Net;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Commands;

public sealed class KeyCommandTests
{
    [Theory, InlineData(StoreKind.Sqlite), InlineData(StoreKind.Postgres)]
    public async Task Add_besideARunningService_printsTheKeyAloneAndItWorksUntilRevoked(StoreKind kind)
    {
        await using var served = await ServedFolder.StartAsync(kind);

        var added = (await served.RunAsync("key", "add", "--name", "First key", "--scopes", "admin")).ShouldSucceed();
        Assert.Matches("^bt_[A-Za-z0-9_-]{43}\n$", added.Output);
        var client = served.ClientFor(added.Lines[0]);
        (await client.GetAsync("/v1/yards")).Should(HttpStatusCode.OK);

        var listed = (await served.RunAsync("key", "list")).ShouldSucceed();
        var cells = Assert.Single(listed.Lines).Split('\t');
        Assert.Equal(["works", "admin", "every", "First key"], cells[1..]);
        Assert.DoesNotContain(added.Lines[0], listed.Output, StringComparison.Ordinal);

        Assert.Empty((await served.RunAsync("key", "revoke", cells[0])).ShouldSucceed().Output);
        await Eventually.TrueAsync(async () => (await client.GetAsync("/v1/yards")).Status == HttpStatusCode.Unauthorized, () => "The key works on though another process has ended it.");
        Assert.Contains("revoked", (await served.RunAsync("key", "list")).Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Add_forAYardAndAPerson_reachesNoOther()
    {
        await using var served = await ServedFolder.StartAsync();
        var admin = await served.AdminAsync();
        var yard = await admin.MakeAsync("/v1/yards", new { name = "Larkfield", timeZone = "Europe/London" });
        var other = await admin.MakeAsync("/v1/yards", new { name = "Elsewhere", timeZone = "Europe/London" });
        var person = await admin.MakeAsync("/v1/people", new { name = "Ada Finch", role = "fitter", yardIds = new[] { yard } });

        var added = await served.RunAsync("key", "add", "--name", "Ada", "--scopes", "fit,manage", "--yard", yard.ToUpperInvariant(), "--person", person, "--expires", "2199-12-31");

        var client = served.ClientFor(added.ShouldSucceed().Lines.Single());
        (await client.GetAsync($"/v1/yards/{yard}")).Should(HttpStatusCode.OK);
        (await client.GetAsync($"/v1/yards/{other}")).Should(HttpStatusCode.NotFound);
    }

    [Theory]
    [InlineData("Only a key with the scope admin may reach every yard", "--scopes", "read")]
    [InlineData("There is no yard nowhere", "--scopes", "read", "--yard", "nowhere")]
    [InlineData("There is no person nobody", "--scopes", "admin", "--person", "nobody")]
    public async Task Add_thatCannotBe_makesNoKey(string words, params string[] arguments)
    {
        await using var store = await ServedFolder.EmptyAsync();
        (await store.RunAsync("key", "add", "--name", "first", "--scopes", "admin")).ShouldSucceed();

        (await store.RunAsync(["key", "add", "--name", "n", .. arguments])).ShouldFail(1, words);

        Assert.Single((await store.RunAsync("key", "list")).Lines);
    }

    [Fact]
    public async Task Revoke_unknownKey_fails()
    {
        await using var store = await ServedFolder.EmptyAsync();
        (await store.RunAsync("key", "add", "--name", "first", "--scopes", "admin")).ShouldSucceed();

        (await store.RunAsync("key", "revoke", "0199f6c2-7c1a-7000-8f3e-1f2d3c4b5a69")).ShouldFail(1, "There is no key");
    }
}
