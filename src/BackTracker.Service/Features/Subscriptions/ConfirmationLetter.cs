using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Http;
using BackTracker.Storage.Messages;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.Subscriptions;

/// <summary>The letter that asks a mail address whether it wants to be told. Of its word only a hash is kept with the subscription.</summary>
internal static class ConfirmationLetter
{
    /// <summary>Puts the letter on its way.</summary>
    public static Task WriteAsync(WriteSession session, string subscriptionId, string word) => MessageStore.AddAsync(session, new MessageRow
    {
        Id = session.NewId(),
        SubscriptionId = subscriptionId,
        Occasion = ConfirmBody.Occasion,
        Body = Json.Write(new ConfirmBody($"{AddressPages.ConfirmPath}?word={word}")),
        NextAt = session.NowText,
        CreatedAt = session.NowText,
    });
}
