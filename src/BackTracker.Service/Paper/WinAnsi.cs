using System.Globalization;
using System.Text;

namespace BackTracker.Service.Paper;

/// <summary>
/// Text in the letters of the standard fonts (code page 1252). What they lack is replaced by what can be read: an accent is left off, Greek and
/// Cyrillic are spelt in Latin letters, anything else becomes a question mark.
/// </summary>
internal static class WinAnsi
{
    private const string Unreadable = "?";
    private static readonly Encoding Page = CodePagesEncodingProvider.Instance.GetEncoding(1252, new EncoderReplacementFallback(""), DecoderFallback.ReplacementFallback)!;

    // Each letter with how it is spelt.
    private static readonly Dictionary<char, string> Spelt = string.Concat(
        "−- ‐- ‑- →-> ≤<= ≥>= ′' ″\" łl ŁL đd ĐD ħh ĦH ıi ŋng ŊNg əe ƏE ",
        "αa βv γg δd εe ζz ηi θth ιi κk λl μm νn ξx οo πp ρr σs ςs τt υy φf χch ψps ωo ",
        "аa бb вv гg дd еe жzh зz иi кk лl мm нn оo пp рr сs тt уu фf хkh цts чch шsh щshch ъ ыy ь эe юyu яya ",
        "іi єye ґg јj љlj њnj ђdj ћc џdz").Split(' ').ToDictionary(pair => pair[0], pair => pair[1..]);

    // Each letter and after it those that are it with an accent: the runtime takes accents off only where it has the tables of every language.
    private static readonly Dictionary<char, char> Bare = string.Concat(
        "AĀĂĄǍǞǠǺȀȂȦḀẠẢẤẦẨẪẬẮẰẲẴẶ BḂḄḆ CĆĈĊČḈ DĎḊḌḎḐḒ EĒĔĖĘĚȄȆȨḔḖḘḚḜẸẺẼẾỀỂỄỆ FḞ GĜĞĠĢǦǴḠ HĤȞḢḤḦḨḪ IĨĪĬĮİǏȈȊḬḮỈỊ JĴ KĶǨḰḲḴ ",
        "LĹĻĽḶḸḺḼ MḾṀṂ NŃŅŇǸṄṆṈṊ OŌŎŐƠǑǪǬȌȎȪȬȮȰṌṎṐṒỌỎỐỒỔỖỘỚỜỞỠỢ PṔṖ RŔŖŘȐȒṘṚṜṞ SŚŜŞȘṠṢṤṦṨ TŢŤȚṪṬṮṰ UŨŪŬŮŰŲƯǓǕǗǙǛȔȖṲṴṶṸṺỤỦỨỪỬỮỰ ",
        "VṼṾ WŴẀẂẄẆẈ XẊẌ YŶȲẎỲỴỶỸ ZŹŻẐẒẔ aāăąǎǟǡǻȁȃȧḁạảấầẩẫậắằẳẵặ bḃḅḇ cćĉċčḉ dďḋḍḏḑḓ eēĕėęěȅȇȩḕḗḙḛḝẹẻẽếềểễệ fḟ gĝğġģǧǵḡ ",
        "hĥȟḣḥḧḩḫẖ iĩīĭįǐȉȋḭḯỉị jĵǰ kķǩḱḳḵ lĺļľḷḹḻḽ mḿṁṃ nńņňǹṅṇṉṋ oōŏőơǒǫǭȍȏȫȭȯȱṍṏṑṓọỏốồổỗộớờởỡợ pṕṗ rŕŗřȑȓṙṛṝṟ sśŝşșṡṣṥṧṩ ",
        "tţťțṫṭṯṱẗ uũūŭůűųưǔǖǘǚǜȕȗṳṵṷṹṻụủứừửữự vṽṿ wŵẁẃẅẇẉẘ xẋẍ yŷȳẏẙỳỵỷỹ zźżẑẓẕ ÆǢǼ ØǾ æǣǽ øǿ ſẛ ƷǮ ʒǯ ΑΆἈἉἊἋἌἍἎἏᾈᾉᾊᾋᾌᾍᾎᾏᾸᾹᾺΆᾼ ",
        "ΕΈἘἙἚἛἜἝῈΈ ΗΉἨἩἪἫἬἭἮἯᾘᾙᾚᾛᾜᾝᾞᾟῊΉῌ ΙΊΪἸἹἺἻἼἽἾἿῘῙῚΊ ΟΌὈὉὊὋὌὍῸΌ ΡῬ ΥΎΫὙὛὝὟῨῩῪΎ ΩΏὨὩὪὫὬὭὮὯᾨᾩᾪᾫᾬᾭᾮᾯῺΏῼ ",
        "αάἀἁἂἃἄἅἆἇὰάᾀᾁᾂᾃᾄᾅᾆᾇᾰᾱᾲᾳᾴᾶᾷ εέἐἑἒἓἔἕὲέ ηήἠἡἢἣἤἥἦἧὴήᾐᾑᾒᾓᾔᾕᾖᾗῂῃῄῆῇ ιΐίϊἰἱἲἳἴἵἶἷὶίιῐῑῒΐῖῗ οόὀὁὂὃὄὅὸό ρῤῥ ",
        "υΰϋύὐὑὒὓὔὕὖὗὺύῠῡῢΰῦῧ ωώὠὡὢὣὤὥὦὧὼώᾠᾡᾢᾣᾤᾥᾦᾧῲῳῴῶῷ ІЇ ГЃ ЕЀЁ ИЍЙ КЌ УЎ гѓ еѐё ийѝ кќ уў ії").Split(' ').SelectMany(letters => letters.Skip(1), (letters, accented) => (accented, letters[0])).ToDictionary();

    /// <summary>The text on one line in letters that can be printed, blanks single.</summary>
    public static string Readable(string text)
    {
        var readable = new StringBuilder(text.Length);
        foreach (var rune in text.EnumerateRunes())
            readable.Append(Readable(rune));
        return string.Join(' ', readable.ToString().Split(' ', StringSplitOptions.RemoveEmptyEntries));
    }

    /// <summary>The codes of readable text.</summary>
    public static byte[] Codes(string readable) => Page.GetBytes(readable);

    private static string Readable(Rune rune) => Rune.GetUnicodeCategory(rune) switch
    {
        UnicodeCategory.Control or UnicodeCategory.SpaceSeparator or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator => " ",
        // Marks of direction, joiners and accents that stand alone have no shape of their own.
        UnicodeCategory.Format or UnicodeCategory.NonSpacingMark or UnicodeCategory.EnclosingMark => "",
        _ when IsPrinted(rune) => rune.ToString(),
        _ when rune.IsBmp => Spell(Bare.GetValueOrDefault((char)rune.Value, (char)rune.Value)),
        _ => Unreadable,
    };

    private static bool IsPrinted(Rune rune) => rune.Value is < 0x7f or (>= 0xa0 and <= 0xff) || (rune.IsBmp && Page.GetBytes(rune.ToString()) is [>= 0x80 and <= 0x9f]);

    private static string Spell(char letter)
    {
        if (IsPrinted(new Rune(letter)))
            return letter.ToString();
        if (Spelt.TryGetValue(letter, out var spelt))
            return spelt;
        return Spelt.TryGetValue(char.ToLowerInvariant(letter), out var small) ? Engine.Words.Sentence(small) : Unreadable;
    }

}
