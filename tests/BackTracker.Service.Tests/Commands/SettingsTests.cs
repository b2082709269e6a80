using BackTracker.Engine.Alerts;
using BackTracker.Engine.Checks;
using BackTracker.Service.Hosting;
using BackTracker.Storage;

namespace BackTracker.Service.Tests.Commands;

public sealed class SettingsTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-test-").FullName;

    [Fact]
    public void Read_appsettings_changesWhatItNamesAndNothingElse() =>
        Assert.Equal(new CheckPolicy { RiskLimit = .3, LayOffDays = 30 }, Read("""{"Policy":{"RiskLimit":0.3,"LayOffDays":30}}""").Policy);

    [Fact]
    public void Read_alerts_takesTimesOfTheDay() => Assert.Equal(
        new AlertPolicy { NightFrom = new(22, 0), DigestAt = new(8, 15), OwnerAfterDays = 9 },
        Read("""{"Alerts":{"NightFrom":"22:00","DigestAt":"08:15","OwnerAfterDays":9}}""").Alerts);

    [Fact]
    public void Read_secureCookies_areOnlyWhereSaid()
    {
        Assert.False(Settings.Read(_folder).Pages.SecureCookies);
        Assert.True(Read("""{"Pages":{"SecureCookies":true}}""").Pages.SecureCookies);
    }

    [Fact]
    public void Read_addressOfThePages_isWhereLinksLead()
    {
        Assert.Null(Settings.Read(_folder).Pages.Place);
        Assert.Equal(new Uri("https://horses.test/"), Read("""{"Pages":{"Address":"https://horses.test"}}""").Pages.Place);
    }

    [Fact]
    public void Read_allowedHosts_areTakenOneByOne()
    {
        Assert.Empty(Settings.Read(_folder).Delivery.Hosts);
        Assert.Equal(["barn.lan", "::1", "192.168.1.7"], Read("""{"Delivery":{"AllowHosts":" barn.lan, [::1],192.168.1.7,"}}""").Delivery.Hosts);
    }

    [Fact]
    public void Read_nothingSet_isTheDefaults() => Assert.Equal(new CheckPolicy(), Settings.Read(_folder).Policy);

    [Theory]
    [InlineData("""{"Policy":{"RiskLimt":0.3}}""", "There is no setting Policy:RiskLimt")]
    [InlineData("""{"Polcy":{"RiskLimit":0.3}}""", "There is no setting Polcy")]
    [InlineData("""{"Policy":{"RiskLimit":"much"}}""", "Policy:RiskLimit")]
    [InlineData("""{"Policy":{"RiskLimit":1.5}}""", "Policy:riskLimit cannot be 1.5: use a number from 0.01 to 0.9 (probability)")]
    [InlineData("""{"Policy":{"RiskLimit":0.9}}""", "must be less than Policy:riskClosing")]
    [InlineData("""{"Policy":{"LayOffDays":-1}}""", "Policy:layOffDays cannot be -1: use a whole number from 7 to 365 (days)")]
    [InlineData("""{"Delivery":{"AllowHosts":"barn, http://office"}}""", "'http://office'")]
    [InlineData("""{"Policy":{"LayOffDays":{"Days":1}}}""", "it is a single value")]
    [InlineData("""{"Alerts":{"NightFrom":"late"}}""", "Alerts:NightFrom")]
    [InlineData("""{"Alerts":{"DigestAt":"05:00"}}""", "Alerts:DigestAt (05:00) lies in the night (21:00 to 06:30)")]
    [InlineData("""{"Alerts":{"FitterAfterDays":-1}}""", "Alerts:FitterAfterDays")]
    [InlineData("""{"Alerts":{"OwnerAfterDays":1}}""", "Alerts:OwnerAfterDays cannot be 1")]
    [InlineData("""{"Alerts":{"AgainAfterDays":0}}""", "Alerts:AgainAfterDays cannot be 0")]
    [InlineData("""{"Pages":{"Address":"horses.test"}}""", "Pages:Address cannot be horses.test")]
    [InlineData("""{"Pages":{"Address":"ftp://horses.test"}}""", "Pages:Address")]
    [InlineData("""{"Pages":{"Address":"https://horses.test/?a=b"}}""", "Pages:Address")]
    [InlineData("""{"Pages":{"Address":"https://horses.test/backs"}}""", "Pages:Address")]
    [InlineData("""{"Mail":{"BaseAddress":"https://horses.test"}}""", "There is no setting Mail:BaseAddress")]
    [InlineData("""{"Limits":{"RequestsPerMinute":0}}""", "Limits:RequestsPerMinute cannot be 0: use a number from 1 to")]
    [InlineData("""{"Limits":{"FailedTriesPerMinute":-5}}""", "Limits:FailedTriesPerMinute cannot be -5")]
    [InlineData("""{"Limits":{"Connections":1000000}}""", "Limits:Connections cannot be 1000000: use a number from 1 to 100000")]
    [InlineData("""{"Limits":{"HeaderSeconds":0}}""", "Limits:HeaderSeconds cannot be 0")]
    [InlineData("""{"Limits":{"BodyBytesPerSecond":0}}""", "Limits:BodyBytesPerSecond cannot be 0")]
    [InlineData("""{"Limits":{"RequestsPerMinute":"many"}}""", "Limits:RequestsPerMinute")]
    [InlineData("""{"Limits":{"Requests":5}}""", "There is no setting Limits:Requests")]
    [InlineData("""{"Logs":{"Format":"xml"}}""", "Logs:Format cannot be xml: use text or json")]
    [InlineData("""{"Metrics":{"Port":70000}}""", "Metrics:Port cannot be 70000")]
    [InlineData("""{"Certificate":{"File":"x"}}""", "There is no setting Certificate:File")]
    [InlineData("""{"Policy":7}""", "it is a group of settings")]
    [InlineData("""{"RiskLimit":0.3}""", "There is no setting RiskLimit. Known here: Alerts, Backups, Certificate, Delivery, Limits, Logs, Mail, Metrics, Pages, Policy")]
    [InlineData("""{"Logging":{"LogLevel":{"Default":"Debug"}}}""", "There is no setting Logging")]
    [InlineData("""{"Policy":{"RiskLimit":"0,3"}}""", "Policy:RiskLimit")]
    [InlineData("""{"Policy":{"RiskLimit":"NaN"}}""", "Policy:riskLimit cannot be NaN")]
    [InlineData("""{"Policy":{"RiskLimit":null}}""", "Policy:RiskLimit")]
    [InlineData("""{"Mail":{"Host":null}}""", "Mail:Host")]
    [InlineData("""{"Policy":{"RiskLimit":""}}""", "Policy:RiskLimit")]
    [InlineData("""{"Policy":{"RiskLimit":0.2,"risklimit":0.3}}""", "Policy:risklimit")]
    [InlineData("""{"Delivery":{"AllowHosts":["barn.lan"]}}""", "Delivery:AllowHosts has the wrong form: it is a single value")]
    [InlineData("""{"Limits":{"ImportMiB":0}}""", "Limits:ImportMiB cannot be 0")]
    [InlineData("""{"Limits":{"Connections":1.5}}""", "Limits:Connections")]
    [InlineData("""{"Backups":{"Nightly":"perhaps"}}""", "Backups:Nightly")]
    [InlineData("""{"Backups":{"At":"25:00"}}""", "Backups:At")]
    [InlineData("""{"Backups":{"KeepDays":0}}""", "Backups:KeepDays cannot be 0: use a number from 1 to 1000")]
    [InlineData("""{"Backups":{"KeepWeeks":-1}}""", "Backups:KeepWeeks cannot be -1")]
    [InlineData("""{"Backups":{"Keep":3}}""", "There is no setting Backups:Keep")]
    [InlineData("""{"Pages":{"SecureCookies":"ja"}}""", "Pages:SecureCookies")]
    [InlineData("""["Policy"]""", "appsettings.json cannot be read")]
    [InlineData("", "appsettings.json cannot be read")]
    [InlineData("""{"Policy":""", "appsettings.json cannot be read")]
    public void Read_settingThatCannotBe_isNamed(string settings, string words)
    {
        var refusal = Assert.Throws<StorageException>(() => Read(settings));

        Assert.Contains(words, refusal.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', refusal.Message);
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private Settings Read(string settings)
    {
        File.WriteAllText(Path.Combine(_folder, "appsettings.json"), settings);
        return Settings.Read(_folder);
    }
}
