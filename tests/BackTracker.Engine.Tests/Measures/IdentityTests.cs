using BackTracker.Engine.Measures;

namespace BackTracker.Engine.Tests.Measures;

public class IdentityTests
{
    // Published examples of ISO 11784 numbers: manufacturer, Austria, test prefix; the last is a documentation sample over 38 bits.
    [Theory]
    [InlineData("968000004531234", true)]
    [InlineData("040098100111917", true)]
    [InlineData("999123456789012", true)]
    [InlineData("968 0000 0453 1234", true)]
    [InlineData("989737733408912", false)]
    [InlineData("826274877906943", true)]
    [InlineData("826274877906944", false)]
    [InlineData("000098100111917", false)]
    [InlineData("96800000453123", false)]
    [InlineData("96800000453123A", false)]
    [InlineData("", false)]
    [InlineData(null, false)]
    public void Microchip_rows(string? text, bool valid) => Assert.Equal(valid, Microchip.TryParse(text, out _));

    [Fact]
    public void Microchip_keeps_its_leading_zero_and_tells_country_from_manufacturer()
    {
        Assert.True(Microchip.TryParse("040098100111917", out var austria));
        Assert.Equal(("040098100111917", 40, false), (austria.ToString(), austria.Prefix, austria.IsManufacturerPrefix));
        Assert.True(Microchip.TryParse("968000004531234", out var manufacturer));
        Assert.True(manufacturer.IsManufacturerPrefix);
    }

    // Examples of the rules of attribution (ueln.net).
    [Theory]
    [InlineData("250001", "00155928M", "25000100155928M")]
    [InlineData("372414", "1234567", "372414001234567")]
    public void Ueln_composes_published_examples(string database, string number, string expected)
    {
        Assert.True(Ueln.TryCompose(database, number, out var ueln));
        Assert.Equal((expected, database), (ueln.ToString(), ueln.Database));
    }

    [Theory]
    [InlineData("1212120078M0234", true)]
    [InlineData("372ire001234567", true)]
    [InlineData("37A414001234567", false)]
    [InlineData("37241400123456", false)]
    [InlineData("372414 001234567", true)]
    [InlineData("372414/01234567", false)]
    [InlineData(null, false)]
    public void Ueln_rows(string? text, bool valid) => Assert.Equal(valid, Ueln.TryParse(text, out _));

    [Fact]
    public void Ueln_special_signs_are_their_issuers_to_replace() => Assert.False(Ueln.TryCompose("121212", "78M/234", out _));
}
