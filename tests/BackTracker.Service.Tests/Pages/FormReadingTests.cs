using System.Net;
using System.Text;
using BackTracker.Service.Tests.Harness;

namespace BackTracker.Service.Tests.Pages;

/// <summary>What no page of the service would send is refused in words, and is no fault of the service.</summary>
public sealed class FormReadingTests
{
    private const string Form = "application/x-www-form-urlencoded";
    private const string Multipart = "multipart/form-data; boundary=";

    public static TheoryData<string, int, string, string> Unreadable => new()
    {
        { "too many fields", 400, Form, string.Join('&', Enumerable.Range(0, 2000).Select(n => $"/f{n}=1")) },
        { "long name", 400, Form, $"/{new string('a', 3000)}=1" },
        { "null character", 400, Form, "key=%00" },
        { "too large", 413, Form, $"key={new string('a', 1 << 20)}" },
        { "long boundary", 400, Multipart + new string('a', 200), "x" },
        { "no boundary", 400, "multipart/form-data", "x" },
        { "cut off", 400, Multipart + "cut", "--cut\r\nContent-Disposition: form-data; name=\"key\"\r\n\r\nbt_" },
        { "empty", 400, Form, "" },
        { "JSON", 415, "application/json", "{}" },
        { "UTF-7", 400, Form + "; charset=utf-7", "key=bt" },
    };

    [Theory]
    [MemberData(nameof(Unreadable))]
    public async Task Form_thatCannotBeRead_isRefused_signedInOrNot(string what, int status, string type, string body)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        using var nobody = new PageClient(service);
        using var somebody = await PageClient.SignedInAsync(service);

        foreach (var (client, form) in new[] { (nobody, "/sign-in"), (somebody, "/sign-in"), (somebody, "/sign-out"), (somebody, $"/horses/{yard.HorseId}/events") })
        {
            using var content = new ByteArrayContent(Encoding.UTF8.GetBytes(body));
            content.Headers.TryAddWithoutValidation("Content-Type", type);
            var reply = await client.SendAsync(HttpMethod.Post, form, content);

            Assert.True((int)reply.Status == status, $"{what} at {form}: {(int)reply.Status} {reply.Text}");
            Assert.Equal("text/html", reply.ContentHeaders.ContentType!.MediaType);
        }
    }

    [Theory]
    [InlineData("/note", "/note/y")]
    [InlineData("/note/y", "/note")]
    [InlineData("/", "//")]
    [InlineData("/note/", "/on")]
    [InlineData("70 deep", "/on")]
    [InlineData("list", "/on")]
    public async Task Field_thatIsNoMemberOfARequest_isRefused(string first, string second)
    {
        await using var service = await RunningService.StartAsync();
        var yard = await Yardful.SettleAsync(service);
        using var client = await PageClient.SignedInAsync(service);
        var path = $"/horses/{yard.HorseId}/events";
        first = first switch { "70 deep" => string.Concat(Enumerable.Repeat("/a", 70)), "list" => string.Concat(Enumerable.Repeat("/0/b", 490)), _ => first };

        var reply = (await client.FillAsync(path, path, (first, "x"), (second, "z"))).Should(HttpStatusCode.BadRequest);

        Assert.Contains("could not be read", reply.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("/horses", "/horses")]
    [InlineData("/horses?before=x", "/horses?before=x")]
    [InlineData("/\u00e9", "/")]
    [InlineData("//elsewhere", "/")]
    [InlineData("/\\elsewhere", "/")]
    [InlineData("/a b", "/")]
    [InlineData("https://elsewhere", "/")]
    public async Task SigningIn_goesOnWithinThisServiceOnly(string to, string next)
    {
        await using var service = await RunningService.StartAsync();
        using var client = new PageClient(service);

        var reply = (await client.SignInAsync(to)).Should(HttpStatusCode.Found);

        Assert.Equal(next, reply.Headers.Location!.OriginalString);
    }
}
