package notebook

import (
	"bytes"
	"regexp"
	"strings"
	"testing"
)

func pageOf(t testing.TB, cells ...Cell) string {
	t.Helper()
	return pageOfNotebook(t, Notebook{Cells: cells})
}

func pageOfNotebook(t testing.TB, nb Notebook) string {
	t.Helper()
	var b bytes.Buffer
	if err := WriteHTML(&b, nb); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func prose(source string) Cell { return Cell{ID: "p", Type: Markdown, Source: source} }

func shown(outputs ...Output) Cell {
	n := 3
	return Cell{ID: "c", Type: Code, Source: "show()", Count: &n, Outputs: outputs}
}

func result(mime string, content any) Output {
	return Output{Type: DisplayData, Data: map[string]any{mime: content, "text/plain": "plain words"}}
}

// body returns what follows the style sheet.
func body(page string) string { return page[strings.Index(page, "<body>"):] }

func TestPageGolden(t *testing.T) {
	checkGolden(t, "lesson.html", []byte(pageOfNotebook(t, readFile(t, "lesson.ipynb"))))
}

func TestPageContent(t *testing.T) {
	tests := []struct {
		name string
		cell Cell
		want string
	}{
		{"heading with a link to copy", prose("## Cap *ease*"), `<h2 id="cap-ease">Cap <em>ease</em><a href="#cap-ease" class="here" title="link to Cap ease" rel="noreferrer">#</a></h2>`},
		{"table", prose("|a|b|\n|---|--:|\n|1|2|"), `<td style="text-align: right">2</td>`},
		{"formula", prose("width $w_1 * h_1 < 3$ and $$\\frac{a_1}{b_1}$$"), `width <span class="math">$w_1 * h_1 &lt; 3$</span> and <span class="math">$$\frac{a_1}{b_1}$$</span>`},
		{"formula on two lines", prose("$$\na_1 *\nb_1*\n$$"), "<span class=\"math\">$$\na_1 *\nb_1*\n$$</span>"},
		{"money", prose("from $3 to $5 *a* day"), `from $3 to $5 <em>a</em> day`},
		{"safe markup in prose", prose("H<sub>2</sub>O <b>bold</b>"), `H<sub>2</sub>O <b>bold</b>`},
		{"picture elsewhere", prose("![a hem](https://example.org/hem.png)"), `<a href="https://example.org/hem.png" rel="noreferrer">picture: a hem</a>`},
		{"attached picture", Cell{ID: "p", Type: Markdown, Source: "![hem](attachment:hem.png)",
			Attachments: map[string]any{"hem.png": map[string]any{"image/png": "aGVt\n"}}}, `<img src="data:image/png;base64,aGVt" alt="hem">`},
		{"prompt", shown(), `<div class="prompt" aria-label="cell 3">[3]</div>`},
		{"code", Cell{ID: "c", Type: Code, Source: "if a < b { // less\n\tf(\"x\")\n}"},
			"<span class=\"keyword\">if</span> a &lt; b { <span class=\"comment\">// less</span>\n\tf(<span class=\"text\">&#34;x&#34;</span>)\n}"},
		{"code that is no Go", Cell{ID: "c", Type: Code, Source: "it's <b>"}, "<code>it&#39;s &lt;b&gt;</code>"},
		{"markup of an output", shown(result("text/html", `<table><tr><th scope="row">bust</th><td style="text-align:right">92</td></tr></table>`)),
			`<table><tr><th scope="row">bust</th><td style="text-align: right">92</td></tr></table>`},
		{"drawing", shown(result("text/html", `<img src="data:image/svg+xml;base64,PHN2Zy8+" width="300" height="200" alt="bodice">`)),
			`<img src="data:image/svg+xml;base64,PHN2Zy8+" width="300" height="200" alt="bodice">`},
		{"progress", shown(result("text/html", `<progress value="3" max="7"></progress>`)), `<progress value="3" max="7"></progress>`},
		{"svg as a picture", shown(result("image/svg+xml", "<svg/>")), `<img src="data:image/svg&#43;xml;base64,PHN2Zy8&#43;" alt="plain words">`},
		{"png with a size", shown(Output{Type: ExecuteResult, Data: map[string]any{"image/png": "aGVt"},
			Metadata: map[string]any{"image/png": map[string]any{"width": 40}}}), `<img src="data:image/png;base64,aGVt" alt="picture of cell 3" width="40">`},
		{"markdown", shown(result("text/markdown", "**bold**")), `<strong>bold</strong>`},
		{"unknown type", shown(result("application/vnd.jupyter.widget-view+json", map[string]any{})), "<pre>plain words</pre>"},
		{"JSON", shown(Output{Type: DisplayData, Data: map[string]any{"application/json": []any{"<"}}}), "[\n  &#34;\\u003c&#34;\n]"},
		{"colours of a terminal", shown(Output{Type: Stream, Name: "stdout", Text: "\x1b[31mred\x1b[0m & 10%\r100%\ndone\r\n"}), "<pre>100%\ndone\n</pre>"},
		{"stderr", shown(Output{Type: Stream, Name: "stderr", Text: "careful"}), `<span class="mark">stderr</span>`},
		{"error", shown(Output{Type: ErrorOutput, ErrorName: "Error", ErrorValue: "cap < 1 cm", Traceback: []string{"\x1b[1mcell 3\x1b[0m", "  line 2"}}),
			"<p class=\"failed\">Error: cap &lt; 1 cm</p>\n<pre>cell 3\n  line 2</pre>"},
		{"raw", Cell{ID: "r", Type: Raw, Source: "<raw>"}, `<pre class="raw">&lt;raw&gt;</pre>`},
		{"injected", Cell{ID: "c", Type: Code, Source: "a = 1", Metadata: map[string]any{"tags": []any{injectedTag}}}, "[ ] set for this run"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if page := body(pageOf(t, test.cell)); !strings.Contains(page, test.want) {
				t.Errorf("want %s\nin %s", test.want, page)
			}
		})
	}
}

// hostile are ways to run a script or to load something; a stranger's notebook
// may hold any of them.
var hostile = []string{
	`<script>alert(1)</script>`, `<img src="data:image/png;base64,AA==" onerror="alert(1)">`, `<a href="javascript:alert(1)">x</a>`,
	`<a href="JaVa&#x09;script:alert(1)">x</a>`, `<iframe src="https://example.org"></iframe>`, `<object data="x"></object><embed src="x">`,
	`<form action="https://example.org"><input name="a"><button>x</button></form>`, `<style>@import url(https://example.org)</style>`,
	`<link rel="stylesheet" href="https://example.org">`, `<meta http-equiv="refresh" content="0;url=https://example.org">`, `<base href="https://example.org/">`,
	`<p style="background:url(https://example.org/x.png);position:fixed">x</p>`, `<img src="https://example.org/x.png">`, `<img srcset="https://example.org/x.png 2x">`,
	`<svg><script>alert(1)</script><a xlink:href="javascript:alert(1)">x</a></svg>`, `<math><mtext></p><style><img src=x onerror=alert(1)></style></mtext></math>`,
	`<table background="https://example.org/x.png"><tr><td>1</td></tr></table>`, `<video src="https://example.org/x"></video>`, `<div onclick="alert(1)">x</div>`,
	`<a href="data:text/html;base64,PHNjcmlwdD4=">x</a>`, `<img src="data:text/html;base64,PHNjcmlwdD4=">`, `<noscript><p title="</noscript><img src=x onerror=alert(1)>"></noscript>`,
	`<div id="x" class="cell">x</div>`, `</main></body><script>alert(1)</script>`, `<!--<img src="--><img src=x onerror=alert(1)//">`,
}

// active matches what could run or load anything, in a tag.
var active = regexp.MustCompile(`(?i)<(script|iframe|object|embed|form|input|button|style|link|meta|base|svg|math|video|audio|source|template)\b|<[^>]*\s(on\w+|srcset|background|action|formaction|xlink:href)\s*=|<[^>]*(href|src)\s*=\s*"?\s*(javascript|data:text|vbscript)|<img[^>]*src="?(https?:|//|x)|<[^>]*style="[^"]*(url|position|expression)`)

func TestPageIsSafe(t *testing.T) {
	for _, attack := range hostile {
		for _, page := range []string{
			pageOf(t, shown(result("text/html", attack))),
			pageOf(t, prose(attack)),
			pageOf(t, prose("text "+attack+" text")),
			pageOf(t, shown(result("text/markdown", attack))),
		} {
			if found := active.FindString(body(page)); found != "" {
				t.Errorf("%s\nleft %s in\n%s", attack, found, body(page))
			}
			if !strings.HasSuffix(strings.TrimSpace(page), "</main>\n</body>\n</html>") || strings.Count(page, "</main>") != 1 {
				t.Errorf("%s\nbroke out of the page", attack)
			}
		}
	}
	page := body(pageOf(t, shown(result("text/html", `<div id="x" class="cell">x</div>`))))
	if strings.Contains(page, `id="x"`) || strings.Count(page, `class="cell"`) != 1 {
		t.Errorf("an output takes on a class or id of the page: %s", page)
	}
	if !strings.Contains(pageOf(t), `content="default-src 'none'; img-src data:; style-src 'unsafe-inline'"`) {
		t.Error("the page has no content security policy")
	}
}

// An output whose markup is all unsafe is shown by the next best content.
func TestPageFallsBack(t *testing.T) {
	page := body(pageOf(t, shown(result("text/html", "<script>alert(1)</script>"))))
	if !strings.Contains(page, "<pre>plain words</pre>") {
		t.Errorf("got %s", page)
	}
}

func TestTitle(t *testing.T) {
	tests := []struct {
		name string
		nb   Notebook
		want string
	}{
		{"metadata", Notebook{Metadata: map[string]any{"title": "Evening class"}, Cells: []Cell{prose("# Other")}}, "Evening class"},
		{"first heading", Notebook{Cells: []Cell{prose("text\n\n```\n# no heading\n```\n\nThe *first* `block` & $b_1$\n====\n\n# Other")}}, "The first block &amp; $b_1$"},
		{"none", Notebook{Cells: []Cell{prose("text")}}, "Notebook"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if page := pageOfNotebook(t, test.nb); !strings.Contains(page, "<title>"+test.want+"</title>") {
				t.Errorf("want %s in %s", test.want, page[:strings.Index(page, "<style>")])
			}
		})
	}
}

// Headings of different cells that read alike get different ids.
func TestHeadingIDsDiffer(t *testing.T) {
	page := body(pageOf(t, prose("## Ease"), Cell{ID: "q", Type: Markdown, Source: "## Ease"}))
	if !strings.Contains(page, `id="ease"`) || !strings.Contains(page, `id="ease-1"`) {
		t.Errorf("got %s", page)
	}
}

func FuzzPageIsSafe(f *testing.F) {
	for _, s := range hostile {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		page := body(pageOf(t, shown(result("text/html", s)), prose(s)))
		if found := active.FindString(page); found != "" {
			t.Errorf("%q left %s in\n%s", s, found, page)
		}
	})
}
