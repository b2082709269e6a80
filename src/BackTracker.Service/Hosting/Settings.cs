using System.Globalization;
using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Observability;
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

    /// <summary>Where webhooks may go.</summary>
    public DeliverySettings Delivery { get; init; } = new();

    /// <summary>How pages are served.</summary>
    public PageSettings Pages { get; init; } = new();

    /// <summary>The mail server that takes letters.</summary>
    public MailSettings Mail { get; init; } = new();

    /// <summary>How much of the service one caller may take.</summary>
    public LimitSettings Limits { get; init; } = new();

    /// <summary>The backup of every night.</summary>
    public BackupSettings Backups { get; init; } = new();

    /// <summary>The certificate that the command line names.</summary>
    public CertificateSettings Certificate { get; init; } = new();

    /// <summary>How the log is written.</summary>
    public LogSettings Logs { get; init; } = new();

    /// <summary>Where metrics are fetched.</summary>
    public MetricsSettings Metrics { get; init; } = new();

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
            CheckHosts(settings.Delivery);
            CheckPages(settings.Pages);
            settings.Mail.Check();
            settings.Limits.Check();
            settings.Backups.Check();
            settings.Logs.Check();
            settings.Metrics.Check();
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
            if (child.Value is null && !child.GetChildren().Any())
                throw new StorageException($"The setting {child.Path} has no value. Leave it out, and its default holds.");
            var isSection = property.PropertyType.IsClass && property.PropertyType != typeof(string);
            if (isSection == child.GetChildren().Any())
                CheckNames(child, property.PropertyType);
            else
                throw new StorageException($"The setting {child.Path} has the wrong form: it is {(isSection ? "a group of settings" : "a single value")}.");
        }
    }

    private static void CheckRanges(CheckPolicy policy)
    {
        foreach (var setting in PolicySettings.All.Where(setting => !setting.Takes(setting.Of(policy))))
            throw new StorageException(string.Create(CultureInfo.InvariantCulture, $"The setting Policy:{setting.Name} cannot be {setting.Of(policy)}: use {setting.Range} ({setting.Unit})."));
        foreach (var (lower, higher) in PolicySettings.CrossedIn(policy))
            throw new StorageException(string.Create(CultureInfo.InvariantCulture, $"The setting Policy:{lower.Name} ({lower.Of(policy)}) must be less than Policy:{higher.Name} ({higher.Of(policy)})."));
    }

    private static void CheckHosts(DeliverySettings delivery)
    {
        if (delivery.Hosts.FirstOrDefault(host => Uri.CheckHostName(host) == UriHostNameType.Unknown) is { } wrong)
            throw new StorageException($"The setting Delivery:AllowHosts cannot hold '{wrong}': use names or addresses of hosts, parted by commas, without https:// and port.");
    }

    private static void CheckPages(PageSettings pages)
    {
        var isPlace = Uri.TryCreate(pages.Address, UriKind.Absolute, out var place) && place.Scheme is "http" or "https" && place.PathAndQuery == "/" && place.Fragment.Length == 0;
        if (pages.Address.Length > 0 && !isPlace)
            throw new StorageException($"The setting Pages:Address cannot be {pages.Address}: use the address at which people reach the pages, for example https://horses.example.org");
    }

    private static void CheckAlerts(AlertPolicy alerts)
    {
        if (alerts.IsNight(alerts.DigestAt))
            throw new StorageException($"The setting Alerts:DigestAt ({alerts.DigestAt:HH:mm}) lies in the night ({alerts.NightFrom:HH:mm} to {alerts.NightTo:HH:mm}): use a time after Alerts:NightTo.");
        if (alerts.FitterAfterDays is < 0 or > 365)
            throw new StorageException($"The setting Alerts:FitterAfterDays cannot be {alerts.FitterAfterDays}: use a number from 0 to 365.");
        if (alerts.OwnerAfterDays < alerts.FitterAfterDays || alerts.OwnerAfterDays > 365)
            throw new StorageException($"The setting Alerts:OwnerAfterDays cannot be {alerts.OwnerAfterDays}: use a number from Alerts:FitterAfterDays ({alerts.FitterAfterDays}) to 365.");
        if (alerts.AgainAfterDays is < 1 or > 365)
            throw new StorageException($"The setting Alerts:AgainAfterDays cannot be {alerts.AgainAfterDays}: use a number from 1 to 365.");
    }
}

/// <summary>How pages are served.</summary>
internal sealed record PageSettings
{
    /// <summary>Where people reach the pages, for the links in letters and calendars.</summary>
    public string Address { get; init; } = "";

    /// <summary>The same; null where it was not said.</summary>
    public Uri? Place => Address.Length == 0 ? null : new(Address);

    /// <summary>True where a proxy serves the pages over TLS: browsers then never send their cookies without it.</summary>
    public bool SecureCookies { get; init; }
}

/// <summary>The certificate that the command line names.</summary>
internal sealed record CertificateSettings
{
    /// <summary>What opens its key; empty where nothing is needed.</summary>
    public string Password { get; init; } = "";

    /// <summary>Without the password, wherever it is written.</summary>
    public override string ToString() => nameof(CertificateSettings);
}

/// <summary>Where webhooks may go.</summary>
internal sealed record DeliverySettings
{
    /// <summary>Names or addresses of hosts, parted by commas, that webhooks reach over plain http too and although they are inner ones.</summary>
    public string AllowHosts { get; init; } = "";

    /// <summary>The same one by one, addresses in their usual form.</summary>
    public IEnumerable<string> Hosts => AllowHosts.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
        .Select(host => System.Net.IPAddress.TryParse(host.Trim('[', ']'), out var address) ? address.ToString() : host);
}
