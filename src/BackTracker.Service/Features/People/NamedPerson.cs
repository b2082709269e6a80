using BackTracker.Service.Http;
using BackTracker.Storage;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.People;

/// <summary>A person named in a body: where there is none such, the member is at fault, not the address.</summary>
internal static class NamedPerson
{
    public static async Task<PersonRow> RequireAsync(ReadSession session, Caller caller, string id, string pointer)
    {
        var person = await PersonStore.FindAsync(session, caller.Sight, Ids.Canonical(id) ?? "")
            ?? throw ProblemException.Impossible(pointer, $"There is no person {id} in the yards of this key. Register them first: POST /v1/people.");
        return person.ErasedAt is null ? person : throw ProblemException.Impossible(pointer, $"{person.Name} was erased and can do nothing any more. Name somebody else.");
    }
}
