using BackTracker.Service.Http;
using BackTracker.Storage;
using MimeKit;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>How the way to the mail server is kept private.</summary>
internal enum MailSecurity
{
    /// <summary>Not at all: for a server on this machine or in this house.</summary>
    None,

    /// <summary>Begun in the clear and turned to TLS before anything is said; refused where the server cannot.</summary>
    StartTls,

    /// <summary>TLS from the first byte.</summary>
    Tls,
}

/// <summary>The mail server that takes letters, and whom they come from.</summary>
internal sealed record MailSettings
{
    private static readonly string[] ThisMachine = ["localhost", "127.0.0.1", "::1"];

    /// <summary>Name or address of the mail server; nothing is sent while it is empty.</summary>
    public string Host { get; init; } = "";

    /// <summary>Its port; 0 for the usual one: 25, 587 with start-tls, 465 with tls.</summary>
    public int Port { get; init; }

    /// <summary>"none", "start-tls" or "tls".</summary>
    public string Security { get; init; } = "start-tls";

    /// <summary>Who signs in there; empty where nobody has to.</summary>
    public string User { get; init; } = "";

    /// <summary>Their password.</summary>
    public string Password { get; init; } = "";

    /// <summary>Whom letters come from: an address, with or without a name.</summary>
    public string From { get; init; } = "";

    /// <summary>Whether letters can be sent.</summary>
    public bool IsSetUp => Host.Length > 0;

    /// <summary>The way to the server.</summary>
    public MailSecurity Way => Words.Read<MailSecurity>(Security);

    /// <summary>The port in use.</summary>
    public int UsedPort => Port > 0 ? Port : Way switch { MailSecurity.None => 25, MailSecurity.StartTls => 587, _ => 465 };

    /// <summary>Whom letters come from.</summary>
    public MailboxAddress Sender => MailboxAddress.Parse(From);

    /// <exception cref="StorageException">A value cannot be.</exception>
    public void Check()
    {
        if (!Words.TryParse<MailSecurity>(Security, out var way))
            throw Wrong(nameof(Security), $"cannot be {Security}: use {string.Join(", ", Words.Of<MailSecurity>())}");
        if (Port is < 0 or > 65535)
            throw Wrong(nameof(Port), $"cannot be {Port}: use a number from 1 to 65535");
        if (!IsSetUp)
            return;
        if (!MailboxAddress.TryParse(From, out var from) || !from.Address.Contains('@', StringComparison.Ordinal))
            throw Wrong(nameof(From), "is needed with Mail:Host: the address letters come from, for example BackTracker <alerts@example.org>");
        if (User.Length == 0 != (Password.Length == 0))
            throw Wrong(User.Length == 0 ? nameof(User) : nameof(Password), "is missing: set both Mail:User and Mail:Password, or neither");
        if (User.Length > 0 && way == MailSecurity.None && !ThisMachine.Contains(Host))
            throw Wrong(nameof(Security), "cannot be none where a password is sent to another machine: use start-tls or tls");
    }

    /// <summary>Without the password, wherever it is written.</summary>
    public override string ToString() => $"{Host}:{Port}";

    private static StorageException Wrong(string name, string what) => new($"The setting Mail:{name} {what}.");
}
