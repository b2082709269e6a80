using System.Text.Json.Nodes;
using BackTracker.Service.Evaluation;

namespace BackTracker.Service.Tests.Evaluation;

public class CaseComparisonTests
{
    [Theory]
    [InlineData("""{"a":1}""", """{"a":1.0000001,"b":2}""", """{"absolute":1e-6}""", 0)]
    [InlineData("""{"a":1}""", """{"a":1.00001}""", """{"absolute":1e-6}""", 1)]
    [InlineData("""{"a":1000}""", """{"a":1000.0001}""", """{"absolute":1e-9,"relative":1e-6}""", 0)]
    [InlineData("""{"a":1e-9}""", """{"a":2e-9}""", """{"absolute":1e-8,"relative":1e-6}""", 0)]
    [InlineData("""{"a":1}""", """{"a":1}""", """{}""", 0)]
    [InlineData("""{"a":null}""", """{"a":0}""", """{"absolute":1}""", 1)]
    [InlineData("""{"a":null}""", """{"a":null}""", """{"absolute":1}""", 0)]
    [InlineData("""{"a":null}""", """{}""", """{"absolute":1}""", 1)]
    [InlineData("""{"a":"x"}""", """{"a":"y"}""", """{"absolute":1}""", 1)]
    [InlineData("""{"a":true}""", """{"a":false}""", """{"absolute":1}""", 1)]
    [InlineData("""{"a":[1,2]}""", """{"a":[1,2,3]}""", """{"absolute":1}""", 1)]
    [InlineData("""{"a":[1,2]}""", """{"a":[2,1]}""", """{"absolute":0.5}""", 2)]
    [InlineData("""{"a":{"b":1}}""", """{"a":1}""", """{"absolute":1}""", 1)]
    public void Differences_counts_what_lies_outside_the_tolerance(string expected, string actual, string tolerance, int count) =>
        Assert.Equal(count, CaseComparison.Differences(JsonNode.Parse(expected)!, JsonNode.Parse(actual)!, JsonNode.Parse(tolerance)!).Count);

    [Fact]
    public void Differences_names_the_place()
    {
        var differences = CaseComparison.Differences(JsonNode.Parse("""{"at":[{"x":1}]}""")!, JsonNode.Parse("""{"at":[{"x":2}]}""")!, new JsonObject());

        Assert.StartsWith("expected.at[0].x: 2 instead of 1", Assert.Single(differences), StringComparison.Ordinal);
    }
}
