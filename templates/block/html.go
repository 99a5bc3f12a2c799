package block

import (
	_ "embed"
	"fmt"
	"html"
	"io"
	"net/url"
	"strings"

	"weighhouse/templates/figure"
)

//go:embed style.css
var style string

// HTML prints the document as one web page that stands alone: no script, no request, and a policy that forbids both.
func (d *Doc) HTML(w io.Writer) error {
	lang := d.Lang
	if lang == "" {
		lang = "en"
	}
	p := &htmlPrinter{}
	p.put(`<!DOCTYPE html>
<html lang="`, p.text(lang), `">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<meta name="generator" content="`, p.text(d.Creator), `">
<title>`, p.text(d.Title), `</title>
<style>`, style, `</style>
</head>
<body>
<header>
`)
	if d.Eyebrow != "" {
		p.put(`<p class="eyebrow">`, p.text(d.Eyebrow), "</p>\n")
	}
	p.put("<h1>", p.text(d.Title), "</h1>\n</header>\n<main>\n")
	p.blocks(d.Blocks)
	p.closeSection()
	p.put("</main>\n<footer><p>", p.text(strings.Trim(d.Footer+" · "+d.Creator, " ·")), "</p></footer>\n</body>\n</html>\n")
	_, err := io.WriteString(w, p.b.String())
	return err
}

type htmlPrinter struct {
	b       strings.Builder
	section bool
	made    int // headings without an anchor of their own
}

func (p *htmlPrinter) put(parts ...string) {
	for _, s := range parts {
		p.b.WriteString(s)
	}
}

// text escapes a text; what no page may hold becomes U+FFFD.
func (p *htmlPrinter) text(s string) string {
	return html.EscapeString(strings.Map(func(r rune) rune {
		if r < 0x20 && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 {
			return '\uFFFD'
		}
		return r
	}, strings.ToValidUTF8(s, "\uFFFD")))
}

func (p *htmlPrinter) closeSection() {
	if p.section {
		p.put("</section>\n")
		p.section = false
	}
}

func (p *htmlPrinter) blocks(bs []Block) {
	for _, b := range bs {
		p.one(b)
	}
}

func (p *htmlPrinter) one(b Block) {
	switch b := b.(type) {
	case Heading:
		p.heading(b)
	case Para:
		class := ""
		if b.Small {
			class = ` class="small"`
		}
		p.put("<p", class, ">", p.inline(b.Text), "</p>\n")
	case Facts:
		p.put(`<dl class="facts">`, "\n")
		for _, f := range b.Rows {
			p.put("<div><dt>", p.text(f.Label), "</dt><dd>", p.inline(f.Text), "</dd></div>\n")
		}
		p.put("</dl>\n")
	case Table:
		p.table(b)
	case Figures:
		class := "full"
		if len(b.Figures) > 1 {
			class = "pair"
		}
		p.put(`<div class="`, class, `">`, "\n")
		for _, f := range b.Figures {
			p.put("<figure><figcaption>", p.text(f.Title), `</figcaption><div class="scroll" tabindex="0" role="group" aria-label="`, p.text(f.Title), `">`, figure.SVG(f), "</div></figure>\n")
		}
		p.put("</div>\n")
	case List:
		tag := "ul"
		if b.Numbered {
			tag = "ol"
		}
		p.put("<", tag, ">\n")
		for _, t := range b.Items {
			p.put("<li>", p.inline(t), "</li>\n")
		}
		p.put("</", tag, ">\n")
	case Quote:
		p.put("<blockquote>", p.inline(b.Text), "</blockquote>\n")
	case Group:
		if b.Closed {
			p.put("<details><summary>", p.text(b.Summary), "</summary>\n")
			p.blocks(b.Blocks)
			p.put("</details>\n")
			return
		}
		p.put(`<div class="group">`, "\n")
		p.blocks(b.Blocks)
		p.put("</div>\n")
	}
}

func (p *htmlPrinter) heading(b Heading) {
	id := b.Anchor
	if id == "" {
		p.made++
		id = fmt.Sprintf("part-%d", p.made)
	}
	level := min(max(b.Level, 1), 3) + 1
	if level == 2 {
		p.closeSection()
		p.put(`<section aria-labelledby="`, p.text(id), `">`, "\n")
		p.section = true
	}
	p.put(fmt.Sprintf(`<h%d id="%s">`, level, p.text(id)), p.inline(b.Text), fmt.Sprintf("</h%d>\n", level))
}

func (p *htmlPrinter) table(b Table) {
	p.put(`<div class="scroll" tabindex="0" role="group" aria-label="`, p.text(b.Caption), `"><table>`, "\n<caption>", p.text(b.Caption), "</caption>\n<thead><tr>")
	for _, c := range b.Columns {
		p.put(`<th scope="col"`, numeric(c), ">", p.text(c.Head), "</th>")
	}
	p.put("</tr></thead>\n<tbody>\n")
	for i, r := range b.Rows {
		id := ""
		if i < len(b.Anchors) && b.Anchors[i] != "" {
			id = ` id="` + p.text(b.Anchors[i]) + `"`
		}
		p.put("<tr", id, ">")
		for j, c := range b.Columns {
			var t Text
			if j < len(r) {
				t = r[j]
			}
			if j == 0 {
				p.put(`<th scope="row"`, numeric(c), ">", p.inline(t), "</th>")
				continue
			}
			p.put("<td", numeric(c), ` data-head="`, p.text(c.Head), `">`, p.inline(t), "</td>")
		}
		p.put("</tr>\n")
	}
	p.put("</tbody>\n</table></div>\n")
}

func numeric(c Column) string {
	if c.Right {
		return ` class="num"`
	}
	return ""
}

// inline prints running text; a link leads within the page or to an http or https address, else it is plain text.
func (p *htmlPrinter) inline(t Text) string {
	var b strings.Builder
	for _, i := range t {
		s := strings.ReplaceAll(p.text(i.Text), "\n", "<br>")
		if i.Icon != nil {
			s = `<span class="icon" role="img" aria-label="` + p.text(i.Icon.Title) + `">` + figure.SVG(*i.Icon) + "</span>"
		}
		switch i.Style {
		case Bold:
			s = "<b>" + s + "</b>"
		case Soft:
			s = `<span class="soft">` + s + "</span>"
		case Mono:
			s = "<code>" + s + "</code>"
		case Marked:
			s = "<mark>" + s + "</mark>"
		}
		if to := address(i.To); to != "" {
			s = `<a href="` + p.text(to) + `">` + s + "</a>"
		}
		b.WriteString(s)
	}
	return b.String()
}

// address is a link's target, "" for all but anchors of the page and http and https.
func address(to string) string {
	if strings.HasPrefix(to, "#") {
		return to
	}
	u, err := url.Parse(to)
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" {
		return ""
	}
	return u.String()
}
