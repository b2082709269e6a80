using BackTracker.Engine.Alerts;
using BackTracker.Service.Features.Alerts;
using BackTracker.Service.Http;
using BackTracker.Service.Jobs;
using BackTracker.Service.Observability;
using BackTracker.Storage;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Delivery.Mail;

/// <summary>
/// Sends the letters that wait, one after the other: at once after a commit of this process, and within five seconds after one of another
/// instance or when a letter is to be tried again. What a stop or a kill cuts off is sent again under the same Message-ID.
/// </summary>
internal sealed partial class MailPump(Database database, TimeProvider clock, MailSettings settings, MailWriter writer, AlertPolicy policy, ILogger<MailPump> log) : BackgroundService
{
    private const string Actor = "mail";
    private const int LongestError = 500;
    private const int StaleAfterDays = 7;

    // Longer than a letter can be in hand, so that nobody else takes it meanwhile.
    private static readonly TimeSpan Lease = 6 * MailServer.Patience;
    private readonly ChangeSignal _signal = new();

    public override void Dispose()
    {
        base.Dispose();
        _signal.Dispose();
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        if (!settings.IsSetUp)
        {
            await SayIfAnybodyWaitsAsync(stoppingToken);
            return;
        }
        await new CommitWatch(database, clock, _signal).RunAsync(session => session.Mailed, DrainAsync, stoppingToken);
    }

    private async Task SayIfAnybodyWaitsAsync(CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        if (await SubscriptionStore.AnyMailAsync(session))
            LogNotSetUp();
    }

    private async Task DrainAsync(CancellationToken stopping)
    {
        try
        {
            await using var server = new MailServer(settings, clock);
            while (await ClaimAsync(stopping) is { } letter)
                await DeliverAsync(server, letter, stopping);
        }
        catch (Exception error) when (!stopping.IsCancellationRequested)
        {
            // The store may be away for a moment; the letters are safe in it.
            LogTrouble(error);
        }
    }

    private async Task<MessageRow?> ClaimAsync(CancellationToken cancel)
    {
        await using var session = await database.WriteAsync(Actor, cancel);
        var claimed = await MessageStore.ClaimAsync(session, Lease);
        await session.CommitAsync();
        return claimed;
    }

    private async Task DeliverAsync(MailServer server, MessageRow letter, CancellationToken stopping)
    {
        MailOutcome outcome;
        try
        {
            outcome = await SendAsync(server, letter, stopping);
        }
        catch when (stopping.IsCancellationRequested)
        {
            await SettleAsync(session => MessageStore.ReleaseAsync(session, letter));
            throw;
        }
        Measured.Letter(Words.Write(outcome.Kind));
        await SettleAsync(session => NoteAsync(session, letter, outcome));
    }

    private async Task<MailOutcome> SendAsync(MailServer server, MessageRow letter, CancellationToken stopping)
    {
        try
        {
            var (subscription, leftOut) = await LookAsync(letter, stopping);
            if (WhyNeedless(letter, subscription, leftOut) is { } why)
                return MailOutcome.Needless(why);
            var outcome = await server.SendAsync(await writer.WriteAsync(letter, subscription, leftOut, stopping), stopping);
            return outcome with { LeftOut = leftOut };
        }
        catch (Exception error) when (!stopping.IsCancellationRequested)
        {
            LogUnwritten(error, letter.Id);
            return MailOutcome.Failed("The letter could not be written: the fault is on this side and was logged.");
        }
    }

    private async Task<(SubscriptionRow To, IReadOnlyList<LeftOut> LeftOut)> LookAsync(MessageRow letter, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        return ((await SubscriptionStore.FindAsync(session, Sight.All, letter.SubscriptionId))!, await LetterFate.LeftOutAsync(session, letter));
    }

    // Much may have happened while a letter waited.
    private string? WhyNeedless(MessageRow letter, SubscriptionRow to, IReadOnlyList<LeftOut> leftOut) =>
        to.EndedAt is not null ? "The subscription had ended before it was sent."
        : letter.YardId is not { } yardId ? null
        : !to.Reaches(yardId) ? "The subscription is not of its yard any more."
        : clock.GetUtcNow() > Instants.Read(letter.CreatedAt).AddDays(StaleAfterDays) ? $"It had waited for more than {StaleAfterDays} days. What is still open is told anew."
        : LetterFate.IsEmptied(letter, leftOut) ? $"Nothing was left to say: {leftOut[0].Why}."
        : null;

    private Task NoteAsync(WriteSession session, MessageRow letter, MailOutcome outcome)
    {
        if (outcome.Kind == MailOutcomeKind.Sent)
            return NoteSentAsync(session, letter, outcome.LeftOut);
        LogNotSent(letter.Id, outcome.Error);
        var cut = outcome with { Error = outcome.Error.Length > LongestError ? outcome.Error[..LongestError] : outcome.Error };
        return outcome.Kind == MailOutcomeKind.Failed && MailRetry.TryPlan(Instants.Read(letter.CreatedAt), letter.Attempts, session.Now, out var next)
            ? MessageStore.PutOffAsync(session, letter, next, cut.Error)
            : ParkAsync(session, letter, cut);
    }

    private static async Task NoteSentAsync(WriteSession session, MessageRow letter, IReadOnlyList<LeftOut> leftOut)
    {
        await MessageStore.NoteSentAsync(session, letter.Id);
        await SubscriptionStore.NoteReachedAsync(session, letter.SubscriptionId);
        await LetterFate.NoteSentAsync(session, letter, leftOut);
    }

    private async Task ParkAsync(WriteSession session, MessageRow letter, MailOutcome outcome)
    {
        if (letter.YardId is { } yardId)
            await YardStore.HoldAsync(session, yardId);
        if (!await MessageStore.ParkAsync(session, letter, outcome.Error))
            return;
        if (outcome.Kind != MailOutcomeKind.Needless)
            await SubscriptionStore.NoteBouncedAsync(session, letter.SubscriptionId);
        // What the mail server said may hold the address, which not everybody may see who sees the alert.
        await LetterFate.NoteNotSentAsync(session, letter, outcome.Kind == MailOutcomeKind.Needless ? outcome.Error : "the letter could not be sent", policy);
    }

    // Not cut off by a stop: what became of the letter is known, and is to be known after it.
    private async Task SettleAsync(Func<WriteSession, Task> note)
    {
        await using var session = await database.WriteAsync(Actor, CancellationToken.None);
        await note(session);
        await session.CommitAsync();
    }

    [LoggerMessage(Level = LogLevel.Warning, Message = "Somebody is to be told by mail, but no mail server is set up: letters wait until Mail:Host and Mail:From are set")]
    private partial void LogNotSetUp();

    [LoggerMessage(Level = LogLevel.Warning, Message = "Letter {Id} was not sent: {Error}")]
    private partial void LogNotSent(string id, string error);

    [LoggerMessage(Level = LogLevel.Error, Message = "Letter {Id} could not be written")]
    private partial void LogUnwritten(Exception error, string id);

    [LoggerMessage(Level = LogLevel.Warning, Message = "The letters that wait could not be looked at")]
    private partial void LogTrouble(Exception error);
}
