using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;
using BackTracker.Storage.Yards;

namespace BackTracker.Service.Features.Subscriptions;

/// <summary>The yards of a subscription, in words for its reader.</summary>
internal static class ToldYards
{
    private const string Every = "every yard, those to come among them";

    /// <summary>Their names; one entry for all of them where it is of every yard.</summary>
    public static async Task<IReadOnlyList<string>> OfAsync(ReadSession session, SubscriptionRow subscription) =>
        subscription.EveryYard == 1 ? [Every] : await YardStore.NamesAsync(session, subscription.Reach);
}
