using BackTracker.Engine.Alerts;
using BackTracker.Service.Features.People;
using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;
using BackTracker.Storage.Subscriptions;

namespace BackTracker.Service.Features.Alerts;

/// <summary>Who may be told of a yard by mail.</summary>
internal static class Receivers
{
    /// <summary>The confirmed mail addresses of a yard, each with what its person is to it.</summary>
    public static async Task<IReadOnlyList<Receiver>> OfYardAsync(ReadSession session, string yardId)
    {
        var receivers = new List<Receiver>();
        foreach (var row in (await SubscriptionStore.OfYardAsync(session, yardId)).Where(row => row.Channel == "mail"))
        {
            var person = row.PersonId is null ? null : await PersonStore.FindAsync(session, Sight.All, row.PersonId);
            receivers.Add(new Receiver(row.Id, RoleOf(person), person?.Id ?? "", Json.Read<string[]>(row.Events)) { Mailbox = row.BouncedAt is null ? Mailbox.Takes : Mailbox.Refuses });
        }
        return receivers;
    }

    private static ReceiverRole RoleOf(PersonRow? person) => person is null ? ReceiverRole.YardManager : Words.Read<PersonRole>(person.Role) switch
    {
        PersonRole.YardManager => ReceiverRole.YardManager,
        PersonRole.Fitter => ReceiverRole.Fitter,
        PersonRole.Owner => ReceiverRole.Owner,
        _ => ReceiverRole.Other,
    };
}
