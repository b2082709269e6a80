using BackTracker.Service.Delivery.Mail;
using BackTracker.Service.Hosting;
using BackTracker.Storage;

namespace BackTracker.Service.Tests.Delivery;

public sealed class MailSettingsTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("backtracker-test-").FullName;

    [Fact]
    public void Read_nothingSet_isNotSetUp() => Assert.False(Settings.Read(_folder).Mail.IsSetUp);

    [Theory]
    [InlineData("start-tls", 0, 587)]
    [InlineData("tls", 0, 465)]
    [InlineData("none", 0, 25)]
    [InlineData("none", 2525, 2525)]
    public void Read_port_isTheUsualOneUnlessSaid(string security, int port, int used)
    {
        var mail = Read($$"""{"Mail":{"Host":"mail.test","From":"Yard <a@mail.test>","Security":"{{security}}","Port":{{port}} } }""").Mail;

        Assert.Equal((true, used), (mail.IsSetUp, mail.UsedPort));
        Assert.Equal(("Yard", "a@mail.test"), (mail.Sender.Name, mail.Sender.Address));
    }

    [Theory]
    [InlineData("""{"Host":"mail.test"}""", "The setting Mail:From is needed with Mail:Host")]
    [InlineData("""{"Host":"mail.test","From":"nobody"}""", "Mail:From")]
    [InlineData("""{"Host":"mail.test","From":"a@mail.test","User":"a"}""", "Mail:Password is missing")]
    [InlineData("""{"Host":"mail.test","From":"a@mail.test","Password":"secret"}""", "Mail:User is missing")]
    [InlineData("""{"Host":"mail.test","From":"a@mail.test","User":"a","Password":"secret","Security":"none"}""", "Mail:Security cannot be none where a password is sent")]
    [InlineData("""{"Security":"ssl"}""", "Mail:Security cannot be ssl: use none, start-tls, tls")]
    [InlineData("""{"Port":70000}""", "Mail:Port")]
    [InlineData("""{"Hots":"mail.test"}""", "There is no setting Mail:Hots")]
    [InlineData("""{"Sender":"a@mail.test"}""", "There is no setting Mail:Sender")]
    public void Read_settingThatCannotBe_isNamed_andThePasswordIsNot(string mail, string words)
    {
        var refusal = Assert.Throws<StorageException>(() => Read($$"""{"Mail":{{mail}} }"""));

        Assert.Contains(words, refusal.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', refusal.Message);
        Assert.DoesNotContain("secret", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Password_isNotWritten_whereSettingsAre() => Assert.DoesNotContain("secret", new MailSettings { Password = "secret" }.ToString(), StringComparison.Ordinal);

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private Settings Read(string settings)
    {
        File.WriteAllText(Path.Combine(_folder, "appsettings.json"), settings);
        return Settings.Read(_folder);
    }
}
