package notebook

import (
	"bytes"
	"encoding/base64"
	"html/template"
	"regexp"
	"strings"

	"github.com/microcosm-cc/bluemonday"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/renderer/html"
	gtext "github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"

	"patternkit/kernel"
)

// A page keeps what its cells share: the ids of headings, and the rules of
// what markup is safe.
type page struct {
	ids     parser.IDs
	prose   *bluemonday.Policy
	outputs *bluemonday.Policy
}

func newPage() *page {
	prose := kernel.MarkupPolicy()
	prose.AllowAttrs("id").Matching(regexp.MustCompile(`^[\pL\pN_:.-]+$`)).Globally()
	prose.AllowAttrs("class").Matching(regexp.MustCompile(`^(here|math|footnotes|footnote-ref|footnote-backref|task-list-item|language-[a-z0-9+-]+)$`)).Globally()
	prose.AllowAttrs("role").Matching(regexp.MustCompile(`^doc-[a-z]+$`)).Globally()
	return &page{ids: parser.NewContext().IDs(), prose: prose, outputs: kernel.MarkupPolicy()}
}

// sanitized reduces the markup of an output to what is safe.
func (p *page) sanitized(markup string) template.HTML {
	return template.HTML(p.outputs.Sanitize(markup))
}

// markdown renders prose: CommonMark with tables, task lists, footnotes and
// strikethrough. Formulas between dollar signs stay as they are written.
func (p *page) markdown(source string, attachments map[string]any) (template.HTML, error) {
	md := goldmark.New(
		goldmark.WithExtensions(extension.GFM, extension.Footnote, mathExtension{}),
		goldmark.WithParserOptions(parser.WithAutoHeadingID(), parser.WithASTTransformers(
			util.Prioritized(anchors{}, 900), util.Prioritized(pictures{attachments}, 901))),
		goldmark.WithRendererOptions(html.WithUnsafe()), // what follows makes it safe
	)
	var b bytes.Buffer
	if err := md.Convert([]byte(source), &b, parser.WithContext(parser.NewContext(parser.WithIDs(p.ids)))); err != nil {
		return "", err
	}
	return template.HTML(p.prose.SanitizeBytes(b.Bytes())), nil
}

// anchors ends each heading with a link to itself, to be copied.
type anchors struct{}

func (anchors) Transform(doc *ast.Document, reader gtext.Reader, _ parser.Context) {
	for _, n := range nodes[*ast.Heading](doc) {
		id, ok := n.AttributeString("id")
		if !ok {
			continue
		}
		link := ast.NewLink()
		link.Destination = append([]byte("#"), id.([]byte)...)
		link.SetAttributeString("class", []byte("here"))
		link.SetAttributeString("title", []byte("link to "+plainWords(n, reader.Source())))
		link.AppendChild(link, ast.NewString([]byte("#")))
		n.AppendChild(n, link)
	}
}

// pictures puts attached pictures into the page, and turns those that would
// have to be loaded into links.
type pictures struct{ attachments map[string]any }

func (p pictures) Transform(doc *ast.Document, _ gtext.Reader, _ parser.Context) {
	for _, n := range nodes[*ast.Image](doc) {
		destination := string(n.Destination)
		if name, ok := strings.CutPrefix(destination, "attachment:"); ok {
			if uri := p.attached(name); uri != "" {
				n.Destination = []byte(uri)
				continue
			}
		}
		if strings.HasPrefix(destination, "data:") {
			continue
		}
		link := ast.NewLink()
		link.Destination = n.Destination
		link.AppendChild(link, ast.NewString([]byte("picture: ")))
		for c := n.FirstChild(); c != nil; {
			next := c.NextSibling()
			link.AppendChild(link, c)
			c = next
		}
		n.Parent().ReplaceChild(n.Parent(), n, link)
	}
}

func (p pictures) attached(name string) string {
	bundle, _ := p.attachments[name].(map[string]any)
	for _, mime := range pictureTypes {
		if s := text(bundle, mime); s != "" {
			return dataURI(mime, s)
		}
	}
	return ""
}

func nodes[T ast.Node](doc ast.Node) []T {
	var found []T
	_ = ast.Walk(doc, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if t, ok := n.(T); ok && entering {
			found = append(found, t)
		}
		return ast.WalkContinue, nil
	})
	return found
}

// plainWords is the text of a node without its markup.
func plainWords(n ast.Node, source []byte) string {
	var b strings.Builder
	_ = ast.Walk(n, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.Text:
			b.Write(n.Segment.Value(source))
			if n.SoftLineBreak() || n.HardLineBreak() {
				b.WriteByte(' ')
			}
		case *ast.String:
			b.Write(n.Value)
		case *mathNode:
			b.Write(n.formula)
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(b.String())
}

// firstHeading returns the text of the first heading of a Markdown source, ""
// where it has none.
func firstHeading(source string) string {
	data := []byte(source)
	md := goldmark.New(goldmark.WithExtensions(mathExtension{}))
	for _, h := range nodes[*ast.Heading](md.Parser().Parse(gtext.NewReader(data))) {
		if t := plainWords(h, data); t != "" {
			return t
		}
	}
	return ""
}

func toBase64(s string) string { return base64.StdEncoding.EncodeToString([]byte(s)) }
