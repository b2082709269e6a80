using System.Globalization;
using System.Text;
using System.Xml.Linq;

namespace BackTracker.Service.Tests.Pictures;

/// <summary>A picture as any reader of SVG takes it.</summary>
internal sealed record ReadPicture(string Text, XElement Root)
{
    private const double FontPx = 13;

    public static ReadPicture Of(string svg) => new(svg, XDocument.Parse(svg).Root!);

    public string Title => Only("title").Value;

    public string Description => Only("desc").Value;

    public double WidthPx => Sides[2];

    public double HeightPx => Sides[3];

    public IEnumerable<string> Ids => Root.DescendantsAndSelf().Attributes("id").Select(id => id.Value);

    public IEnumerable<string> Words => Named("text").Select(text => text.Value);

    public IEnumerable<XElement> Named(string name) => Root.Descendants().Where(element => element.Name.LocalName == name);

    public IEnumerable<XElement> OfClass(string name) => Root.Descendants().Where(element => ((string?)element.Attribute("class") ?? "").Split(' ').Contains(name));

    public XElement Label(string words) => Named("text").Single(text => text.Value == words);

    /// <summary>Of several labels of the same words the one of that index.</summary>
    public XElement Label(string words, int index) => Named("text").Where(text => text.Value == words).ElementAt(index);

    /// <summary>Corners of a polygon or polyline.</summary>
    public static (double X, double Y)[] Corners(XElement element) =>
        [.. element.Attribute("points")!.Value.Split(' ').Select(pair => pair.Split(',')).Select(pair => (Number(pair[0]), Number(pair[1])))];

    public static double Number(XElement element, string attribute) => Number(element.Attribute(attribute)!.Value);

    /// <summary>Left, top, right and bottom of words, letters taken as wide as those of a common face are on average.</summary>
    public static (double Left, double Top, double Right, double Bottom) BoxOf(XElement text)
    {
        var (x, y, width) = (Number(text, "x"), Number(text, "y"), text.Value.Length * FontPx * .56);
        var left = (string?)text.Attribute("text-anchor") switch { "middle" => x - (width / 2), "end" => x - width, _ => x };
        return (left, y - (.8 * FontPx), left + width, y + (.2 * FontPx));
    }

    /// <summary>What holds of every picture.</summary>
    public ReadPicture ShouldBeSound()
    {
        Assert.Equal("{http://www.w3.org/2000/svg}svg", Root.Name.ToString());
        Assert.Equal("img", (string?)Root.Attribute("role"));
        Assert.Equal($"{Only("title").Attribute("id")!.Value} {Only("desc").Attribute("id")!.Value}", (string?)Root.Attribute("aria-labelledby"));
        Assert.False(string.IsNullOrWhiteSpace(Title) || string.IsNullOrWhiteSpace(Description));
        Assert.Empty(Named("style").Concat(Named("script")));
        Assert.DoesNotContain(Root.DescendantsAndSelf().Attributes(), attribute => attribute.Name.LocalName == "style" || attribute.Name.LocalName.StartsWith("on", StringComparison.Ordinal));
        Assert.Equal(Ids.Count(), Ids.Distinct().Count());
        Assert.True(Encoding.UTF8.GetByteCount(Text) < 12 * 1024, $"The picture takes {Encoding.UTF8.GetByteCount(Text)} bytes.");
        foreach (var text in Named("text"))
        {
            var box = BoxOf(text);
            Assert.True(box.Left >= 0 && box.Top >= 0 && box.Right <= WidthPx && box.Bottom <= HeightPx, $"'{text.Value}' lies at {box} in {WidthPx} x {HeightPx}.");
        }
        return this;
    }

    /// <summary>No words on other words.</summary>
    public ReadPicture ShouldKeepWordsApart()
    {
        var boxes = Named("text").Select(text => (text.Value, Box: BoxOf(text))).ToList();
        for (var i = 0; i < boxes.Count; i++)
        {
            foreach (var (words, box) in boxes.Skip(i + 1))
            {
                var (_, top, right, bottom) = boxes[i].Box;
                var apart = box.Left >= right || box.Right <= boxes[i].Box.Left || box.Top >= bottom || box.Bottom <= top;
                Assert.True(apart, $"'{boxes[i].Value}' at {boxes[i].Box} and '{words}' at {box} cover each other.");
            }
        }
        return this;
    }

    private double[] Sides => [.. Root.Attribute("viewBox")!.Value.Split(' ').Select(Number)];

    private XElement Only(string name) => Assert.Single(Root.Elements(), element => element.Name.LocalName == name);

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
