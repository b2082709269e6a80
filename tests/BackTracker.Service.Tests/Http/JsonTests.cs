using System.Text.Json;
using BackTracker.Service.Http;

namespace BackTracker.Service.Tests.Http;

public sealed class JsonTests
{
    [Fact]
    public void Text_thatIsRefusedNow_isStillReadFromTheStore()
    {
        const string kept = "\"Lark\u202efield\"";

        Assert.Throws<JsonException>(() => JsonSerializer.Deserialize<string>(kept, Json.Options));
        Assert.Equal("Lark\u202efield", Json.Read<string>(kept));
        Assert.Equal("Lark\u202efield", Json.ReadStored<string>(kept));
    }
}
