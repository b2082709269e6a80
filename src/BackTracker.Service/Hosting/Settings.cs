using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Storage;

namespace BackTracker.Service.Hosting;

/// <summary>
/// What an operator may set, in appsettings.json of the data folder or as environment variables like BackTracker__Policy__RiskLimit,
/// which win. A section is a property here; nothing else is needed to add one.
/// </summary>
internal sealed record Settings
{
    private const string Prefix = "BackTracker__";

    /// <summary>When somebody is called.</summary>
    public CheckPolicy Policy { get; init; } = new();

    /// <summary>When people are told.</summary>
    public AlertPolicy Alerts { get; init; } = new();

    /// <summary>How pages are served.</summary>
    public PageSettings Pages { get; init; } = new();

    /// <summary>The mail server that takes letters.</summary>
    public MailSettings Mail { get; init; } = new();

    /// <exception cref="StorageException">A setting is not known or its value cannot be.</exception>
    public static Settings Read(string dataFolder)
    {
        try
        {
            var found = new ConfigurationBuilder()
                .AddJsonFile(Path.Combine(dataFolder, "appsettings.json"), optional: true)
                .AddEnvironmentVariables(Prefix)
                .Build();
            CheckNames(found, typeof(Settings));
            var settings = found.Get<Settings>() ?? new Settings();
            CheckRanges(settings.Policy);
            CheckAlerts(settings.Alerts);
            settings.Mail.Check();
            return settings;
        }
        catch (InvalidDataException error)
        {
            throw new StorageException($"appsettings.json cannot be read: {error.InnerException?.Message ?? error.Message}", error);
        }
        catch (InvalidOperationException error)
        {
            throw new StorageException($"A setting has the wrong form: {error.Message}", error);
        }
    }

    private static void CheckNames(IConfiguration section, Type type)
    {
        var known = type.GetProperties().Where(p => p.SetMethod is not null).ToDictionary(p => p.Name, StringComparer.OrdinalIgnoreCase);
        foreach (var child in section.GetChildren())
        {
            if (!known.TryGetValue(child.Key, out var property))
                throw new StorageException($"There is no setting {child.Path}. Known here: {string.Join(", ", known.Keys.Order(StringComparer.Ordinal))}.");
            var isSection = property.PropertyType.IsClass && property.PropertyType != typeof(string);
            if (isSection == child.GetChildren().Any())
                CheckNames(child, property.PropertyType);
            else
                throw new StorageException($"The setting {child.Path} has the wrong form: it is {(isSection ? "a group of settings" : "a single value")}.");
        }
    }

    private static void CheckRanges(CheckPolicy policy)
    {
        foreach (var property in typeof(CheckPolicy).GetProperties().Where(p => p.SetMethod is not null))
            if (property.GetValue(policy) is < 0 or < 0.0 or double.NaN or double.PositiveInfinity)
                throw new StorageException($"The setting Policy:{property.Name} cannot be {property.GetValue(policy)}: use a number that is not negative.");
            else if (!property.Name.EndsWith("Mm", StringComparison.Ordinal) && property.GetValue(policy) is > 1.0)
                throw new StorageException($"The setting Policy:{property.Name} is a probability and cannot be {property.GetValue(policy)}: use a number from 0 to 1.");
        if (policy.RiskLimit >= policy.RiskClosing)
            throw new StorageException($"The setting Policy:RiskLimit ({policy.RiskLimit}) must be less than Policy:RiskClosing ({policy.RiskClosing}).");
    }

    private static void CheckAlerts(AlertPolicy alerts)
    {
        if (alerts.IsNight(alerts.DigestAt))
            throw new StorageException($"The setting Alerts:DigestAt ({alerts.DigestAt:HH:mm}) lies in the night ({alerts.NightFrom:HH:mm} to {alerts.NightTo:HH:mm}): use a time after Alerts:NightTo.");
        if (alerts.FitterAfterDays is < 0 or > 365)
            throw new StorageException($"The setting Alerts:FitterAfterDays cannot be {alerts.FitterAfterDays}: use a number from 0 to 365.");
        if (alerts.OwnerAfterDays < alerts.FitterAfterDays || alerts.OwnerAfterDays > 365)
            throw new StorageException($"The setting Alerts:OwnerAfterDays cannot be {alerts.OwnerAfterDays}: use a number from Alerts:FitterAfterDays ({alerts.FitterAfterDays}) to 365.");
    }
}

/// <summary>How pages are served.</summary>
internal sealed record PageSettings
{
    /// <summary>True where a proxy serves the pages over TLS: browsers then never send their cookies without it.</summary>
    public bool SecureCookies { get; init; }
}
