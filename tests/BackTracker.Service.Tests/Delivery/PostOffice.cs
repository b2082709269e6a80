using System.Buffers;
using System.Collections.Concurrent;
using System.Net;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Hosting;
using BackTracker.Service.Tests.Harness;
using MimeKit;
using SmtpServer;
using SmtpServer.Authentication;
using SmtpServer.ComponentModel;
using SmtpServer.Mail;
using SmtpServer.Protocol;
using SmtpServer.Storage;

namespace BackTracker.Service.Tests.Delivery;

/// <summary>A real mail server of a test's own, on this machine and without TLS. It keeps what it takes, and can be told to be difficult.</summary>
internal sealed class PostOffice : MessageStore, IAsyncDisposable
{
    private readonly CancellationTokenSource _stop = new();
    private readonly ConcurrentQueue<byte[]> _taken = [];
    private Task _listening = Task.CompletedTask;

    private PostOffice(int port) => Port = port;

    public int Port { get; }

    /// <summary>An address it knows nobody at.</summary>
    public string Unknown { get; init; } = "";

    /// <summary>Who has to sign in, as "name:password"; nobody where it is empty.</summary>
    public string Account { get; init; } = "";

    /// <summary>How many letters it still answers with "451 try again later".</summary>
    public int Busy { get; set; }

    /// <summary>What it took, as it came.</summary>
    public IReadOnlyList<byte[]> Taken => [.. _taken];

    /// <summary>What it took, read.</summary>
    public IReadOnlyList<MimeMessage> Letters => [.. _taken.Select(bytes => MimeMessage.Load(new MemoryStream(bytes)))];

    public MailSettings Mail => SettingsFor(Port);

    public Settings Settings => new() { Mail = Mail, Pages = new() { Address = "https://horses.test/" } };

    /// <summary>Opens on a port.</summary>
    public static PostOffice Open(int? port = null, string unknown = "", string account = "")
    {
        var office = new PostOffice(port ?? Ports.Free()) { Unknown = unknown, Account = account };
        var services = new ServiceProvider();
        services.Add(office);
        services.Add(new DelegatingMailboxFilter((IMailbox to, IMailbox _) => to.AsAddress() != office.Unknown));
        services.Add(new DelegatingUserAuthenticator((name, password) => $"{name}:{password}" == office.Account));
        var server = new SmtpServer.SmtpServer(new SmtpServerOptionsBuilder().ServerName("post.test").Endpoint(end => end
            .Endpoint(new IPEndPoint(IPAddress.Loopback, office.Port)).AllowUnsecureAuthentication().AuthenticationRequired(account.Length > 0)).Build(), services);
        office._listening = server.StartAsync(office._stop.Token);
        return office;
    }

    /// <summary>Settings for a mail server on a port of this machine.</summary>
    public static MailSettings SettingsFor(int port) =>
        new() { Host = "127.0.0.1", Port = port, Security = "none", From = "BackTracker Größe <alerts@larkfield.test>" };

    /// <summary>Waits for so many letters and reads the last of them.</summary>
    public async Task<MimeMessage> LetterAsync(int count)
    {
        await Eventually.TrueAsync(() => Task.FromResult(_taken.Count >= count), () => $"{_taken.Count} of {count} letters came.");
        return Letters[count - 1];
    }

    /// <summary>Path and query of a link at the foot of a letter.</summary>
    public static string LinkIn(MimeMessage letter, string text) =>
        new Uri(letter.TextBody!.Split('\n').Single(line => line.StartsWith($"{text}: ", StringComparison.Ordinal))[(text.Length + 2)..].Trim()).PathAndQuery;

    public override Task<SmtpResponse> SaveAsync(ISessionContext context, IMessageTransaction transaction, ReadOnlySequence<byte> buffer, CancellationToken cancellationToken)
    {
        if (Busy > 0)
        {
            Busy--;
            return Task.FromResult(new SmtpResponse(SmtpReplyCode.Aborted, "try again later"));
        }
        _taken.Enqueue(buffer.ToArray());
        return Task.FromResult(SmtpResponse.Ok);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        try
        {
            await _listening;
        }
        catch (OperationCanceledException)
        {
            // It ends like that.
        }
        _stop.Dispose();
    }
}
