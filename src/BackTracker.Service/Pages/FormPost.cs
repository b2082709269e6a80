using BackTracker.Service.Http;

namespace BackTracker.Service.Pages;

/// <summary>A form as it is shown again: what was filled in, and what was wrong with it.</summary>
/// <param name="Values">By name of the field.</param>
/// <param name="Faults">By name of the field; the empty name for what belongs to no field.</param>
/// <param name="Once">Names this form, so that sending it twice does a thing once.</param>
public sealed record FormState(IReadOnlyDictionary<string, string> Values, IReadOnlyDictionary<string, string> Faults, string Once)
{
    private const string OnlyForm = "f";

    /// <summary>A form with something filled in already.</summary>
    public static FormState New(TimeProvider clock, params (string Name, string Value)[] values) =>
        new(values.ToDictionary(v => v.Name, v => v.Value), new Dictionary<string, string>(), BackTracker.Storage.Ids.New(clock.GetUtcNow()));

    /// <summary>What the ids of its fields begin with: two forms on one page may fill members of the same name.</summary>
    public string Mark { get; init; } = OnlyForm;

    /// <summary>The id of a field by its name.</summary>
    public string IdOf(string name) => IdOf(Mark, name);

    /// <summary>The id of a field by its name on a page with one form.</summary>
    public static string IdOnlyOf(string name) => IdOf(OnlyForm, name);

    /// <summary>What is in a field.</summary>
    public string Value(string name) => Values.GetValueOrDefault(name, "");

    /// <summary>What is wrong with a field; null where nothing is.</summary>
    public string? Fault(string name) => Faults.GetValueOrDefault(name.TrimStart('='));

    private static string IdOf(string mark, string name) => mark + name.TrimStart('=').Replace('/', '-');

    /// <summary>Whether something is in one of these fields, or wrong with it: then it is not folded away.</summary>
    public bool Holds(IEnumerable<string> names) => names.Any(name => Value(name).Length > 0 || Fault(name) is not null);
}

/// <summary>Takes a form the way programs send their requests: through the same handler, once, and against the version that was read.</summary>
internal static class FormPost
{
    /// <summary>Runs a handler on what was filled in; goes on where it was taken, and shows the form again where it was not.</summary>
    /// <param name="http">The request. Field `once` becomes its Idempotency-Key, field `version` its If-Match.</param>
    /// <param name="form">What was filled in.</param>
    /// <param name="handle">Reads the request off the form and does it.</param>
    /// <param name="to">Where to go afterwards.</param>
    /// <param name="again">Shows the form with what was wrong.</param>
    public static Task<IResult> TakeAsync(HttpContext http, FormJson form, Func<Task<IResult>> handle, string to, Func<FormState, Task<IResult>> again) =>
        TakeAsync(http, form, handle, () => to, again);

    /// <summary>The same for a form that makes something: goes on to the page of what was made, which has the address of its resource without /v1.</summary>
    public static Task<IResult> MakeAsync(HttpContext http, FormJson form, Func<Task<IResult>> handle, Func<FormState, Task<IResult>> again) =>
        TakeAsync(http, form, handle, () => http.Response.Headers.Location.ToString()["/v1".Length..], again);

    /// <summary>The same for a form whose answer is shown this once and cannot be looked up afterwards.</summary>
    public static Task<IResult> AnswerAsync(HttpContext http, FormJson form, Func<Task<IResult>> handle, Func<IResult> shown, Func<FormState, Task<IResult>> again) =>
        RunAsync(http, form, handle, shown, again);

    private static Task<IResult> TakeAsync(HttpContext http, FormJson form, Func<Task<IResult>> handle, Func<string> to, Func<FormState, Task<IResult>> again) =>
        RunAsync(http, form, handle, () =>
        {
            var next = to();
            Recorded.Leave(http);
            return Results.LocalRedirect(next);
        }, again);

    private static async Task<IResult> RunAsync(HttpContext http, FormJson form, Func<Task<IResult>> handle, Func<IResult> taken, Func<FormState, Task<IResult>> again)
    {
        var fields = await http.Request.ReadFormAsync(http.RequestAborted);
        if (fields["once"].ToString() is { Length: > 0 } once)
            http.Request.Headers["Idempotency-Key"] = once;
        if (fields["version"].ToString() is { Length: > 0 } version)
            http.Request.Headers.IfMatch = version;
        try
        {
            await handle();
            var next = taken();
            http.Response.Headers.Remove("Location");
            http.Response.Headers.Remove("ETag");
            return next;
        }
        catch (ProblemException problem) when (problem.Kind.Status is 409 or 412 or 422)
        {
            var faults = problem.Errors.Count == 0 ? new Dictionary<string, string> { [""] = Said(problem) } : form.FaultsByField(problem);
            return await again(new FormState(fields.ToDictionary(f => f.Key, f => f.Value.ToString()), faults, fields["once"].ToString()));
        }
    }

    private static string Said(ProblemException problem) => problem.Kind switch
    {
        _ when problem.Kind == ProblemKind.Stale =>
            "Somebody else changed this in the meantime. Look at it as it is now, and send the form again if it still holds.",
        _ when problem.Kind == ProblemKind.KeyReused =>
            "This form was sent before with something else in it, and that was recorded. Open the page anew to record more.",
        _ => FormWords.Of(problem.Message),
    };
}
