using System.Collections;
using System.Collections.Concurrent;
using System.ComponentModel.DataAnnotations;
using System.Reflection;
using System.Text.Json;

namespace BackTracker.Service.Http;

/// <summary>A request that checks what attributes cannot say.</summary>
public interface ICheckedRequest
{
    /// <summary>Names what cannot be, by JSON pointer within this object.</summary>
    void Check(Faults faults);
}

/// <summary>Faults of a request by JSON pointer.</summary>
public sealed class Faults
{
    private readonly Dictionary<string, List<string>> _byPointer = [];

    public bool Any => _byPointer.Count > 0;

    public void Add(string pointer, string text)
    {
        if (!_byPointer.TryGetValue(pointer, out var texts))
            _byPointer[pointer] = texts = [];
        texts.Add(text);
    }

    public ProblemException ToProblem() => ProblemException.Impossible(_byPointer.ToDictionary(p => p.Key, p => p.Value.ToArray()));

    /// <summary>Takes over faults of a nested object.</summary>
    public void AddNested(string prefix, Faults nested)
    {
        foreach (var (pointer, texts) in nested._byPointer)
            foreach (var text in texts)
                Add(prefix + pointer, text);
    }
}

/// <summary>Checks requests: the attributes of each member, then what the request itself knows, all the way down.</summary>
internal static class Requests
{
    private static readonly ConcurrentDictionary<Type, Member[]> Members = new();

    /// <exception cref="ProblemException">Something cannot be; all faults are named at once.</exception>
    public static void Validate(object request)
    {
        var faults = Inspect(request);
        if (faults.Any)
            throw faults.ToProblem();
    }

    private static Faults Inspect(object item)
    {
        var faults = new Faults();
        var members = Members.GetOrAdd(item.GetType(), Describe);
        foreach (var member in members)
            CheckRules(faults, item, member);
        foreach (var member in members)
            if (!member.IsPlain)
                InspectValue(faults, "/" + member.Name, member.Value(item));
        if (!faults.Any && item is ICheckedRequest request)
            request.Check(faults);
        return faults;
    }

    // What is missing is said once, and not also that it is out of range.
    private static void CheckRules(Faults faults, object item, Member member)
    {
        if (member.Rules.Length == 0)
            return;
        var value = member.Value(item);
        foreach (var rule in member.Rules)
        {
            if (rule.IsValid(value))
                continue;
            var result = rule.GetValidationResult(value, new ValidationContext(item) { MemberName = member.Property.Name, DisplayName = member.Property.Name });
            faults.Add("/" + member.Name, Say(result!));
            if (rule is RequiredAttribute)
                return;
        }
    }

    private static Member[] Describe(Type type) =>
        [.. type.GetProperties().Where(p => p.GetIndexParameters().Length == 0).Select(p => new Member(p))];

    private static void InspectValue(Faults faults, string pointer, object? value)
    {
        if (value is IDictionary byName)
        {
            foreach (DictionaryEntry entry in byName)
                InspectEntry(faults, $"{pointer}/{entry.Key}", entry.Value);
            return;
        }
        if (value is string or null || value.GetType().Namespace?.StartsWith("System", StringComparison.Ordinal) == true && value is not IEnumerable)
            return;
        if (value is not IEnumerable list)
        {
            if (value.GetType().IsClass)
                faults.AddNested(pointer, Inspect(value));
            return;
        }
        var index = 0;
        foreach (var element in list)
        {
            InspectEntry(faults, $"{pointer}/{index}", element);
            index++;
        }
    }

    private static void InspectEntry(Faults faults, string pointer, object? entry)
    {
        if (entry is null)
            faults.Add(pointer, "An entry of a list cannot be null.");
        else
            InspectValue(faults, pointer, entry);
    }

    private static string Say(ValidationResult result)
    {
        var text = result.ErrorMessage ?? "This cannot be.";
        foreach (var member in result.MemberNames)
            text = text.Replace($"The field {member}", Name(member), StringComparison.Ordinal).Replace($"The {member} field", Name(member), StringComparison.Ordinal);
        return text;
    }

    private static string Name(string member) => JsonNamingPolicy.CamelCase.ConvertName(member);

    /// <summary>A member of a request as it is inspected; found out once, for an import inspects a hundred thousand.</summary>
    private sealed class Member(PropertyInfo property)
    {
        public PropertyInfo Property => property;

        public string Name { get; } = Requests.Name(property.Name);

        public ValidationAttribute[] Rules { get; } = [.. property.GetCustomAttributes<ValidationAttribute>().OrderBy(rule => rule is RequiredAttribute ? 0 : 1)];

        /// <summary>Whether there is nothing to look for within its value.</summary>
        public bool IsPlain { get; } = property.PropertyType == typeof(string) || property.PropertyType.IsValueType;

        public object? Value(object item) => property.GetValue(item);
    }
}
