using System.Text.Json;
using System.Text.Json.Nodes;
using CsCheck;

namespace BackTracker.Service.Tests.Hostile;

/// <summary>Requests to an operation: valid by the document with ids of things that are there, and then made hostile here and there.</summary>
internal sealed class RequestGen(SchemaGen schemas, IdPool pool, IReadOnlyDictionary<string, object> knownBodies)
{
    private static readonly string[] ContentTypes =
        ["application/json; charset=utf-8", "text/plain", "application/xml", "application/json; charset=utf-16", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/csv", "", "/", "application/vnd.api+json", "application/problem+json"];

    private static readonly string[] Methods = ["GET", "PUT", "POST", "DELETE", "PATCH", "TRACE", "OPTIONS", "PURGE", "LOCK"];

    private static readonly string[] Strangers = ["Accept", "Accept-Encoding", "If-None-Match", "If-Modified-Since", "Range", "X-HTTP-Method-Override", "X-Forwarded-For", "X-Forwarded-Host", "X-Original-URL", "Cookie", "Origin", "Expect", "Prefer", "traceparent", "If-Match", "Idempotency-Key", "Authorization", "Content-Encoding"];

    private static readonly string[] Tags = ["*", "\"1\"", "\"2\"", "W/\"1\"", "\"", "\"\"", "1", "\"1\", \"2\"", "\"99999999999999999999\"", ", ,", "\"é\"", "*, \"1\""];

    private static readonly Gen<Twist> Twisted = Gen.Frequency((90, Gen.Const(Twist.None)), (10, Gen.Enum<Twist>()));

    /// <summary>Requests to one operation: one in four as it should be, so that things go on, the others spoiled.</summary>
    public Gen<HostileRequest> To(Operation operation) => Gen.Frequency((1, Plain(operation)), (3, Spoiled(operation)));

    private Gen<HostileRequest> Plain(Operation operation)
    {
        var path = operation.Parameters.Where(p => p.In == "path" && p.Name != "token").Aggregate(
            Gen.Const(operation.Path), (before, p) => Gen.Select(before, pool.Own(operation.KindOf(p.Name)), (text, id) => text.Replace($"{{{p.Name}}}", id, StringComparison.Ordinal)));
        return path.Select(address => new HostileRequest(operation.Method, address)
        {
            Headers = operation.Takes("If-Match") ? [("If-Match", "*")] : [],
            Body = knownBodies.TryGetValue(operation.Route, out var body) && operation.Body is not null ? new HostileBody(JsonSerializer.SerializeToNode(body), Twist.None) : null,
        });
    }

    private Gen<HostileRequest> Spoiled(Operation operation) => Gen.Select(
        Gen.Select(Method(operation), Path(operation), (method, path) => new HostileRequest(method, path)),
        Query(operation), Headers(operation), Body(operation),
        Gen.Frequency((93, Gen.Const("application/json")), (7, Gen.OneOf(ContentTypes))),
        (request, query, headers, body, contentType) => request with { Query = query, Headers = headers, Body = body, ContentType = contentType });

    private static Gen<string> Method(Operation operation) => Gen.Frequency((97, Gen.Const(operation.Method)), (3, Gen.OneOf(Methods)));

    private Gen<string> Path(Operation operation)
    {
        var path = Gen.Const(operation.Path);
        foreach (var parameter in operation.Parameters.Where(p => p.In == "path"))
        {
            var id = parameter.Name == "token" ? HostileValues.Path : Gen.Frequency((93, pool.Any(operation.KindOf(parameter.Name))), (7, HostileValues.Path));
            path = Gen.Select(path, id, (before, value) => before.Replace($"{{{parameter.Name}}}", value, StringComparison.Ordinal));
        }
        return Gen.Frequency((97, path), (3, Gen.Select(path, Gen.OneOf("/", "//", ".json", "%00", "/..", "/.", ";x=1", "%20"), (before, end) => before + end)));
    }

    private Gen<IReadOnlyList<string>> Query(Operation operation)
    {
        Gen<IReadOnlyList<string>> query = Gen.Const((IReadOnlyList<string>)[]);
        foreach (var parameter in operation.Parameters.Where(p => p.In == "query"))
        {
            var value = Gen.Frequency((8, schemas.Of(parameter.Schema, parameter.Name).Select(Written)), (2, HostileValues.Text.Select(Uri.EscapeDataString)), (1, Gen.OneOf("", "%00", "%ff", "%", "+")));
            query = Gen.Select(query, Gen.Int[0, 9], value, Gen.OneOf("", "&" + parameter.Name + "=1"), (before, chance, text, twice) =>
                chance < 6 ? before : [.. before, $"{parameter.Name}={text}{(chance == 9 ? twice : "")}"]);
        }
        return Gen.Frequency((96, query), (4, Gen.Select(query, HostileValues.Text, (before, text) => (IReadOnlyList<string>)[.. before, $"{Uri.EscapeDataString(text[..Math.Min(text.Length, 300)])}=1"])));
    }

    private static Gen<IReadOnlyList<(string, string)>> Headers(Operation operation)
    {
        var match = operation.Takes("If-Match") ? Gen.Frequency((75, Gen.Const("*")), (15, Gen.OneOf(Tags)), (10, Gen.Const(""))) : Gen.Const("");
        var repeat = operation.Takes("Idempotency-Key") ? Gen.Frequency((85, Gen.Const("")), (10, Gen.OneOf("again", "once more")), (5, HostileValues.Header)) : Gen.Const("");
        var strange = Gen.Select(Gen.OneOf(Strangers), Gen.Frequency((3, Gen.OneOf(Tags)), (4, HostileValues.Header), (3, Gen.OneOf("text/html", "*/*;q=0", "bytes=0-1", "DELETE", "gzip", "100-continue", "00-0-0-0", "identity"))), (name, value) => (name, value));
        return Gen.Select(match, repeat, Gen.Int[0, 9], strange, (tag, key, chance, stranger) =>
        {
            List<(string, string)> headers = chance == 0 ? [stranger] : [];
            if (tag.Length > 0)
                headers.Add(("If-Match", tag));
            if (key.Length > 0)
                headers.Add(("Idempotency-Key", key));
            return (IReadOnlyList<(string, string)>)headers;
        });
    }

    private Gen<HostileBody?> Body(Operation operation)
    {
        if (operation.Body is null)
            return operation.Method == "GET" ? Gen.Const((HostileBody?)null) : Gen.Frequency((9, Gen.Const((HostileBody?)null)), (1, HostileValues.Json.Select(value => (HostileBody?)new HostileBody(value(), Twist.None))));
        var json = schemas.Of(operation.Body, "");
        if (knownBodies.TryGetValue(operation.Route, out var known))
            json = Gen.Frequency((1, json), (1, Gen.Const(JsonSerializer.SerializeToNode(known))));
        return Gen.Select(json, Mutation.Any.Array[0, 2], Twisted, (valid, mutations, twist) =>
            (HostileBody?)new HostileBody(mutations.Aggregate(valid, (before, mutation) => mutation.Apply(before)), twist));
    }

    private static string Written(JsonNode? value) => Uri.EscapeDataString(value?.ToString() ?? "");
}
