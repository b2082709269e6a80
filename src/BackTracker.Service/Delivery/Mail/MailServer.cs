using System.Net.Sockets;
using BackTracker.Service.Features.Alerts;
using MailKit.Net.Smtp;
using MailKit.Security;
using MimeKit;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>How a try to send a letter ended.</summary>
/// <param name="Kind">How.</param>
/// <param name="Error">What went wrong, in words; empty where nothing did.</param>
internal sealed record MailOutcome(MailOutcomeKind Kind, string Error)
{
    /// <summary>What the letter went without.</summary>
    public IReadOnlyList<LeftOut> LeftOut { get; init; } = [];

    public static MailOutcome Sent { get; } = new(MailOutcomeKind.Sent, "");

    public static MailOutcome Failed(string error) => new(MailOutcomeKind.Failed, error);

    public static MailOutcome Refused(string error) => new(MailOutcomeKind.Refused, error);

    public static MailOutcome Needless(string why) => new(MailOutcomeKind.Needless, why);
}

/// <summary>How a try ended.</summary>
internal enum MailOutcomeKind
{
    /// <summary>The server took the letter.</summary>
    Sent,

    /// <summary>Not this time.</summary>
    Failed,

    /// <summary>Not this letter, at any time.</summary>
    Refused,

    /// <summary>There is no sense in sending it any more.</summary>
    Needless,
}

/// <summary>The mail server, for as long as letters wait. Connects when the first one is sent, and anew where the connection broke.</summary>
internal sealed class MailServer(MailSettings settings, TimeProvider clock) : IAsyncDisposable
{
    /// <summary>How long connecting or sending a letter may take.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);

    // As browsers do: a network without a way out could never ask whether a certificate was revoked.
    private readonly SmtpClient _client = new() { CheckCertificateRevocation = false };

    /// <summary>Sends a letter.</summary>
    /// <exception cref="OperationCanceledException">The service stops.</exception>
    public async Task<MailOutcome> SendAsync(MimeMessage letter, CancellationToken stopping)
    {
        using var limit = new CancellationTokenSource(Patience, clock);
        using var either = CancellationTokenSource.CreateLinkedTokenSource(limit.Token, stopping);
        try
        {
            await ConnectAsync(either.Token);
            await _client.SendAsync(letter, either.Token);
            return MailOutcome.Sent;
        }
        catch (SmtpCommandException error) when (error.ErrorCode == SmtpErrorCode.RecipientNotAccepted && (int)error.StatusCode >= 500)
        {
            return MailOutcome.Refused($"The mail server refuses the address for good: {Said(error)}");
        }
        catch (Exception error) when (!stopping.IsCancellationRequested)
        {
            return MailOutcome.Failed(Explain(error));
        }
    }

    /// <summary>Takes leave of the server where it still listens; a second is enough for that.</summary>
    public async ValueTask DisposeAsync()
    {
        try
        {
            using var limit = new CancellationTokenSource(TimeSpan.FromSeconds(1));
            await _client.DisconnectAsync(quit: true, limit.Token);
        }
        catch (Exception error) when (error is OperationCanceledException or IOException or MailKit.ProtocolException)
        {
            // Every letter it took is known already.
        }
        _client.Dispose();
    }

    private async Task ConnectAsync(CancellationToken cancel)
    {
        if (_client.IsConnected)
            return;
        await _client.ConnectAsync(settings.Host, settings.UsedPort, settings.Way switch
        {
            MailSecurity.None => SecureSocketOptions.None,
            MailSecurity.StartTls => SecureSocketOptions.StartTls,
            _ => SecureSocketOptions.SslOnConnect,
        }, cancel);
        if (settings.User.Length > 0)
            await SignInAsync(cancel);
    }

    // A connection on which nobody is signed in must not be taken for one that is ready.
    private async Task SignInAsync(CancellationToken cancel)
    {
        try
        {
            await _client.AuthenticateAsync(settings.User, settings.Password, cancel);
        }
        catch
        {
            await _client.DisconnectAsync(quit: false, CancellationToken.None);
            throw;
        }
    }

    private string Explain(Exception error) => error switch
    {
        OperationCanceledException => $"The mail server {Place} did not answer within {Patience.TotalSeconds:0} seconds.",
        SocketException => $"The mail server {Place} could not be reached: {error.Message}.",
        SslHandshakeException => $"The mail server {Place} could not be spoken to over TLS: its certificate is not trusted here, or it does not offer TLS there.",
        NotSupportedException => $"The mail server {Place} cannot do what was asked: {error.Message}",
        AuthenticationException => $"The mail server {Place} does not take Mail:User with Mail:Password.",
        SmtpCommandException command => $"The mail server {Place} did not take the letter: {Said(command)}",
        _ => $"The connection to the mail server {Place} broke: {error.Message}",
    };

    private string Place => $"{settings.Host}:{settings.UsedPort}";

    private static string Said(SmtpCommandException error) => $"{(int)error.StatusCode} {error.Message}";
}
