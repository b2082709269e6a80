using BackTracker.Service.Features.Repeatability;
using BackTracker.Service.Http;
using BackTracker.Service.Pages;
using BackTracker.Service.Pictures;
using BackTracker.Storage.People;
using BackTracker.Storage.Sessions;

namespace BackTracker.Service.Features.People;

/// <summary>What the list of a yard's people shows.</summary>
/// <param name="Yard">The yard.</param>
/// <param name="People">Everybody who can still be named.</param>
public sealed record PeopleModel(Named Yard, IReadOnlyList<PersonRow> People);

/// <summary>Two readings compared, as pictures for phone and desk and in words.</summary>
/// <param name="Heading">Whom they compare.</param>
/// <param name="Pictures">For a phone and for a desk.</param>
/// <param name="Text">In words.</param>
public sealed record ComparedView(string Heading, IReadOnlyList<string> Pictures, string Text);

/// <summary>What the page of a person shows.</summary>
public sealed record PersonModel
{
    /// <summary>The yard that is looked at.</summary>
    public required Named Yard { get; init; }

    /// <summary>What they do.</summary>
    public required string Role { get; init; }

    /// <summary>How well they measure.</summary>
    public required PersonRepeatabilityAnswer Repeatability { get; init; }

    /// <summary>Their repeats, then each other person who measured the same horses.</summary>
    public required IReadOnlyList<ComparedView> Compared { get; init; }
}

/// <summary>Pages of people: who belongs to a yard, and how well each measures.</summary>
internal static class PersonPages
{
    private const int DeskPx = 700;

    public static void MapPersonPages(this IEndpointRouteBuilder routes)
    {
        routes.MapPage("/yards/{id}/people", ListAsync).Needs(Scope.Read);
        routes.MapPage("/people/{id}", ShowAsync).Needs(Scope.Read);
    }

    private static async Task<IResult> ListAsync(HttpContext http, string id, Caller caller, Database database, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var yard = await Named.YardAsync(session, caller, id);
        return PageRoutes.Show<PeoplePage>(http, new PeopleModel(yard, await PersonChoices.OfYardAsync(session, caller, yard.Id)));
    }

    private static async Task<IResult> ShowAsync(HttpContext http, string id, Caller caller, Database database, TimeProvider clock, CancellationToken cancel)
    {
        await using var session = await database.ReadAsync(cancel);
        var known = await PersonRepeats.LoadAsync(session, caller, id, null, clock);
        return PageRoutes.Show<PersonPage>(http, new PersonModel
        {
            Yard = await Named.YardAsync(session, caller, known.Person.YardIds.First(caller.Sight.Covers)),
            Role = Engine.Words.Sentence(known.Person.Role.Replace('-', ' ')),
            Repeatability = known.Answer(_ => true),
            Compared = [.. Drawings(known).Select((drawing, at) => View(drawing, at))],
        });
    }

    private static IEnumerable<AgreementDrawing> Drawings(PersonRepeats known) => known.Others.Select(other => other.Other.Id).Distinct()
        .Select(otherId => known.Against(otherId, null)).Prepend(known.Repeated(null)).OfType<AgreementDrawing>();

    private static ComparedView View(AgreementDrawing drawing, int at) => new(
        drawing.Title,
        [AgreementPicture.Draw(drawing, PictureFrame.OnPage($"compared{at}-phone")), AgreementPicture.Draw(drawing, new PictureFrame(DeskPx, $"compared{at}-desk"))],
        AgreementWords.Describe(drawing));
}
