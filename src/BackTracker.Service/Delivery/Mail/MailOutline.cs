namespace BackTracker.Service.Delivery.Mail;

/// <summary>What a letter says, part by part, before it is set as text and as HTML.</summary>
/// <param name="Subject">Its subject.</param>
/// <param name="Heading">Its heading.</param>
/// <param name="Opening">Sentences below the heading.</param>
/// <param name="Sections">What it is about, the most urgent first.</param>
/// <param name="Pictures">Pictures below that.</param>
/// <param name="Cautions">What to keep in mind.</param>
/// <param name="Closing">Sentences at its end.</param>
/// <param name="Links">Where to go on from here.</param>
internal sealed record MailOutline(
    string Subject, string Heading, IReadOnlyList<string> Opening, IReadOnlyList<MailSection> Sections, IReadOnlyList<MailPicture> Pictures,
    IReadOnlyList<string> Cautions, IReadOnlyList<string> Closing, IReadOnlyList<MailLink> Links);

/// <summary>Items under one title.</summary>
/// <param name="Title">The title.</param>
/// <param name="Tone">How it stands out.</param>
/// <param name="Items">The items.</param>
internal sealed record MailSection(string Title, MailTone Tone, IReadOnlyList<MailItem> Items);

/// <summary>How a section stands out.</summary>
internal enum MailTone
{
    /// <summary>Not at all.</summary>
    Plain,

    /// <summary>As something to stop for.</summary>
    Stop,
}

/// <summary>One thing to know.</summary>
/// <param name="Who">The horse, and the saddle where it is of one.</param>
/// <param name="What">What is the matter.</param>
/// <param name="When">When somebody comes or has to come; empty where nobody has to.</param>
/// <param name="Links">To its page; none where the pages have no public address.</param>
internal sealed record MailItem(string Who, string What, string When, IReadOnlyList<MailLink> Links);

/// <summary>Somewhere to go.</summary>
/// <param name="Text">What is there.</param>
/// <param name="Address">Where it is.</param>
internal sealed record MailLink(string Text, string Address);

/// <summary>A picture in a letter.</summary>
/// <param name="Title">What it is, short.</param>
/// <param name="Description">What it shows, for who cannot see it.</param>
/// <param name="Png">The picture.</param>
internal sealed record MailPicture(string Title, string Description, byte[] Png);

/// <summary>Addresses of pages, for letters. Without a public address there are none.</summary>
/// <param name="Pages">Where the pages are; null where they have no public address.</param>
/// <param name="EndWord">The word that ends the receiver's subscription.</param>
internal sealed record MailLinks(Uri? Pages, string EndWord)
{
    /// <summary>A link to a page, where pages can be reached.</summary>
    public IReadOnlyList<MailLink> To(string text, string path) => Pages is null ? [] : [new(text, new Uri(Pages, path).AbsoluteUri)];

    /// <summary>The page that ends the subscription.</summary>
    public IReadOnlyList<MailLink> End => To("End these letters", $"/end-subscription?word={EndWord}");

    /// <summary>Where a mail program ends the subscription by itself (RFC 8058).</summary>
    public IReadOnlyList<MailLink> EndAtOnce => To("", $"/end-subscription/at-once?word={EndWord}");
}
