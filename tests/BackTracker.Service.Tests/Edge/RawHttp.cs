using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;
using System.Text.Json.Nodes;

namespace BackTracker.Service.Tests.Edge;

/// <summary>A bare socket: for what no client library would send.</summary>
internal sealed class RawHttp : IDisposable
{
    private readonly TcpClient _tcp = new();
    private readonly NetworkStream _stream;

    public RawHttp(string address)
    {
        _tcp.Connect(IPAddress.Loopback, new Uri(address).Port);
        _tcp.ReceiveTimeout = 30_000;
        _stream = _tcp.GetStream();
    }

    public async Task SayAsync(string text) => await _stream.WriteAsync(Encoding.Latin1.GetBytes(text), TestContext.Current.CancellationToken);

    /// <summary>Everything until the server hangs up; empty where it says nothing.</summary>
    public async Task<RawAnswer> AllAsync()
    {
        using var all = new MemoryStream();
        try
        {
            await _stream.CopyToAsync(all, TestContext.Current.CancellationToken);
        }
        catch (IOException)
        {
            // It hung up without ado; what it had said is there.
        }
        return new RawAnswer(Encoding.UTF8.GetString(all.ToArray()));
    }

    /// <summary>Sends one request that asks for the connection to be closed.</summary>
    public static async Task<RawAnswer> AskAsync(string address, string method, string target, string headers = "", string body = "")
    {
        using var raw = new RawHttp(address);
        var length = body.Length == 0 ? "" : string.Create(CultureInfo.InvariantCulture, $"Content-Length: {body.Length}\r\n");
        await raw.SayAsync($"{method} {target} HTTP/1.1\r\nHost: backtracker.test\r\nConnection: close\r\n{headers}{length}\r\n{body}");
        return await raw.AllAsync();
    }

    public void Dispose()
    {
        _stream.Dispose();
        _tcp.Dispose();
    }
}

/// <summary>What came over a bare socket.</summary>
internal sealed record RawAnswer(string Text)
{
    private string Head => Text.Split("\r\n\r\n")[0];

    public int Status => Text.Length == 0 ? 0 : int.Parse(Text.Split(' ')[1], CultureInfo.InvariantCulture);

    /// <summary>A header's value; empty where there is none.</summary>
    public string this[string header] => Head.Split("\r\n").FirstOrDefault(line => line.StartsWith(header + ":", StringComparison.OrdinalIgnoreCase))?[(header.Length + 1)..].Trim() ?? "";

    /// <summary>Insists on a problem document of one kind with the headers that every answer has.</summary>
    public RawAnswer ShouldBeProblem(int status, string kind)
    {
        Assert.True(Status == status, $"expected {status} but got: {Text}");
        Assert.Equal("application/problem+json", this["Content-Type"].Split(';')[0]);
        var json = Text[Text.IndexOf('{', StringComparison.Ordinal)..(Text.LastIndexOf('}') + 1)];
        Assert.Equal($"urn:backtracker:problem:{kind}", JsonNode.Parse(json)!["type"]!.GetValue<string>());
        Assert.Equal("nosniff", this["X-Content-Type-Options"]);
        Assert.Equal("no-store", this["Cache-Control"]);
        Assert.NotEmpty(this["Content-Security-Policy"]);
        Assert.Empty(this["Server"]);
        return this;
    }
}
