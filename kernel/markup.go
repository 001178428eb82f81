package kernel

import (
	"crypto/rand"
	"html"
	"net/url"
	"reflect"
	"regexp"
	"strings"
	"sync"
	"unicode"

	"github.com/microcosm-cc/bluemonday"
)

// A front end believes what a cell shows that it has just run: a script in it
// could do all that the user can, start programs too. Cells are a stranger's
// as long as nobody has read them, so the markup that they write themselves
// is reduced to what only shows something. That of compiled types is known,
// and left alone.

// isFromCell reports whether a value writes its markup by what a cell says: its
// type is declared in one, or it is a text.
func isFromCell(v any) bool {
	return isDeclaredInCell(v) || reflect.ValueOf(v).Kind() == reflect.String
}

// isDeclaredInCell reports whether v is an evaluator's value of a type that
// exists in cells only.
func isDeclaredInCell(v any) bool {
	_, declared := v.(interface{ TypeString() string })
	return declared
}

var cellMarkup = sync.OnceValue(MarkupPolicy)

// cleanHTML takes out of HTML what acts or is loaded from elsewhere.
func cleanHTML(markup string) string {
	short, pictures := withoutPayloads(markup)
	short = cellMarkup().Sanitize(short)
	if acts(short) { // a formula may hold a link
		return "<pre>" + html.EscapeString(short) + "</pre>"
	}
	return pictures.Replace(short)
}

// withoutPayloads puts short names in the place of pictures, which are long,
// and can hold nothing that ends an attribute. back puts them in again.
func withoutPayloads(markup string) (short string, back *strings.Replacer) {
	const mark = ";base64,"
	var b strings.Builder
	var names []string
	for {
		before, after, found := strings.Cut(markup, mark)
		b.WriteString(before)
		if !found {
			return b.String(), strings.NewReplacer(names...)
		}
		n := 0
		for n < len(after) && isBase64(after[n]) {
			n++
		}
		name := mark + rand.Text()
		names = append(names, name, mark+after[:n])
		b.WriteString(name)
		markup = after[n:]
	}
}

func isBase64(c byte) bool {
	return 'A' <= c && c <= 'Z' || 'a' <= c && c <= 'z' || '0' <= c && c <= '9' || c == '+' || c == '/' || c == '='
}

var (
	tagStart = regexp.MustCompile(`<([A-Za-z/!?])`)
	// A picture begins so; one that is in the text itself goes on to its end.
	pictureStart = regexp.MustCompile(`!+\[([^\[\]\n]*\]\(data:image/[a-z+]+;base64,[A-Za-z0-9+/=]*\))?`)
)

// cleanMarkdown leaves Markdown its own marks and takes HTML out of it. A
// picture that a front end would load becomes a link: what a cell has read
// would leave the machine in its address. Links that act make it plain text.
func cleanMarkdown(text string) string {
	if acts(text) {
		return ""
	}
	text = pictureStart.ReplaceAllStringFunc(text, func(start string) string {
		if strings.HasSuffix(start, ")") {
			return start
		}
		return strings.ReplaceAll(start, "!", "&#33;")
	})
	return tagStart.ReplaceAllString(text, "&lt;$1")
}

// acts reports whether text has an address that runs a program when it is
// followed, however it is spelt.
func acts(text string) bool {
	plain := strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.IsControl(r) || r == '\\' {
			return -1
		}
		return unicode.ToLower(r)
	}, html.UnescapeString(text))
	return strings.Contains(plain, "javascript:") || strings.Contains(plain, "vbscript:")
}

// embedded matches a picture that is in the page itself.
var embedded = regexp.MustCompile(`^data:image/(png|gif|jpeg|webp|svg\+xml);base64,[A-Za-z0-9+/=\s]+$`)

// MarkupPolicy allows what carries text, tables and pictures: no scripts,
// frames, forms, style sheets or anything that is loaded from elsewhere.
func MarkupPolicy() *bluemonday.Policy {
	p := bluemonday.NewPolicy()
	p.AllowElements("p", "br", "hr", "div", "span", "blockquote", "pre", "code", "samp", "kbd", "var",
		"b", "strong", "i", "em", "u", "s", "del", "ins", "mark", "small", "sub", "sup", "abbr", "cite", "q", "dfn",
		"h1", "h2", "h3", "h4", "h5", "h6", "ul", "ol", "li", "dl", "dt", "dd",
		"table", "caption", "colgroup", "col", "thead", "tbody", "tfoot", "tr", "th", "td",
		"figure", "figcaption", "details", "summary", "progress", "meter", "section", "article", "header", "footer")
	number := regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?$`)
	p.AllowAttrs("scope").Matching(regexp.MustCompile(`^(row|col|rowgroup|colgroup)$`)).OnElements("th")
	p.AllowAttrs("colspan", "rowspan", "span").Matching(number).OnElements("th", "td", "col", "colgroup")
	p.AllowAttrs("align").Matching(regexp.MustCompile(`^(left|right|center)$`)).OnElements("th", "td", "tr", "p", "div", "table")
	p.AllowAttrs("start", "value").Matching(number).OnElements("ol", "li")
	p.AllowAttrs("value", "max", "min", "low", "high", "optimum").Matching(number).OnElements("progress", "meter")
	p.AllowAttrs("open").OnElements("details")
	p.AllowAttrs("title", "lang", "dir").Globally()
	p.AllowAttrs("src").Matching(embedded).OnElements("img")
	p.AllowAttrs("alt").OnElements("img")
	p.AllowAttrs("width", "height").Matching(regexp.MustCompile(`^[0-9]+(\.[0-9]+)?(px|%|mm|cm|em)?$`)).OnElements("img", "progress", "table", "col")
	p.AllowAttrs("href").OnElements("a")
	p.AllowURLSchemes("http", "https", "mailto")
	p.AllowURLSchemeWithCustomPolicy("data", func(u *url.URL) bool { return embedded.MatchString(u.String()) })
	p.AllowRelativeURLs(true)
	p.RequireNoReferrerOnLinks(true)
	size := regexp.MustCompile(`^-?[0-9.]+(px|%|em|rem|ch|mm|cm|in|pt)?$|^auto$`)
	p.AllowStyles("width", "height", "max-width", "max-height", "min-width", "margin-left", "margin-right", "vertical-align").
		Matching(regexp.MustCompile(size.String() + `|^(top|middle|bottom|baseline|none)$`)).Globally()
	p.AllowStyles("text-align").MatchingEnum("left", "right", "center", "start", "end").Globally()
	p.AllowStyles("font-weight").MatchingEnum("bold", "normal").Globally()
	p.AllowStyles("font-style").MatchingEnum("italic", "normal").Globally()
	p.AllowStyles("white-space").MatchingEnum("pre", "nowrap", "pre-wrap").Globally()
	p.AllowStyles("font-variant-numeric").MatchingEnum("tabular-nums").Globally()
	return p
}
