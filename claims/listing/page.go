package listing

import (
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// start handles a start tag.
func (p *pageReader) start(z *html.Tokenizer, raw string, selfClosing bool) {
	name, more := z.TagName()
	tag := atom.Lookup(name)
	var alt, id, classes, role, named, content string
	e := element{tag: tag, hides: hiddenByDefault[tag], pre: tag == atom.Pre,
		strikes: tag == atom.Del || tag == atom.S || tag == atom.Strike}
	isInputImage := false
	p.span = [2]int{1, 1}
	for more {
		var k, v []byte
		k, v, more = z.TagAttr()
		val := string(v)
		switch string(k) {
		case "hidden":
			e.folds = e.folds || !strings.EqualFold(val, "until-found")
		case "aria-hidden":
			e.folds = e.folds || strings.EqualFold(strings.TrimSpace(val), "true")
		case "role":
			role = val
		case "name", "property", "itemprop":
			named = val
		case "content":
			content = val
		case "style":
			e.folds = e.folds || styleHides(val)
			if strings.Contains(strings.ToLower(val), "line-through") {
				e.strikes = true
			}
		case "colspan":
			p.span[0] = spanOf(val)
		case "rowspan":
			p.span[1] = spanOf(val)
		case "type":
			isInputImage = strings.EqualFold(val, "image")
			e.data = strings.EqualFold(strings.TrimSpace(val), "application/ld+json")
		case "alt":
			alt = val
		case "id":
			id = val
		case "class":
			classes = val
		}
	}
	e.folds = (e.folds || p.sheets.hides(string(name), id, classes)) && !isPanel(role, id+" "+classes)
	if e.folds && !block[tag] {
		e.hides, e.folds = true, false // an icon's words; a cell that is not shown is none of its table
	}
	p.implied(tag)
	if tag == atom.Meta && (named == "description" || named == "og:description") && len(p.data.described) < 4 {
		p.data.described = append(p.data.described, piece{text: content, line: p.line, col: p.col})
	}
	if void[tag] {
		if !e.hides && p.hidden == 0 {
			p.void(tag, alt, raw, isInputImage)
		}
		return
	}
	// A slash closes an element only in SVG and MathML, whose content is not shown here anyway.
	if selfClosing && (tag == 0 || tag == atom.Svg || tag == atom.Math) {
		return
	}
	if len(p.open) >= maxDepth {
		p.overflow++
		return
	}
	e.of, e.start, e.heads = partOf(tag, id+" "+classes), p.body.Len(), len(p.t.heads)
	p.parted(tag)
	if e.folds {
		p.newline()
		e.start = p.body.Len()
	}
	p.open = append(p.open, e)
	if e.hides {
		p.hidden++
	}
	if e.folds {
		p.folded++
	}
	if e.strikes {
		p.struck++
	}
	if e.pre {
		p.pre++
	}
	if p.hidden == 0 {
		p.opened(tag)
	}
}

// maxSpan bounds how many columns or rows a cell may take.
const maxSpan = 1000

// spanOf reads a colspan or rowspan; what is no number from 1 on is 1.
func spanOf(s string) int {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil || n < 1 {
		return 1
	}
	return min(n, maxSpan)
}

// void handles an element that has no content.
func (p *pageReader) void(tag atom.Atom, alt, raw string, isInputImage bool) {
	switch {
	case tag == atom.Br || tag == atom.Hr:
		p.newline()
	case (tag == atom.Img || tag == atom.Area || tag == atom.Input && isInputImage) && strings.TrimSpace(alt) != "":
		p.newline()
		p.altText(alt, raw)
		p.newline()
	}
}

// altText writes the words that stand for a picture, each character at its place where the tag holds it unencoded.
func (p *pageReader) altText(alt, raw string) {
	if i := strings.Index(raw, alt); i >= 0 {
		p.advance(raw[:i])
		for _, r := range alt {
			p.char(r, p.line, p.col, false)
			p.advance(string(r))
		}
		return
	}
	for _, r := range alt {
		p.char(r, p.line, p.col, true)
	}
}

// parted writes what a style sheet shows as space between a label and its value: the second of two inline elements that are
// all that a row holds begins behind a colon, a third begins a row of its own where it follows a value.
func (p *pageReader) parted(tag atom.Atom) {
	n := len(p.open)
	if n == 0 || p.cell() != nil || p.hidden > 0 || block[tag] || !rowTag[p.open[n-1].tag] || p.open[n-1].direct || p.open[n-1].kids == 0 {
		return
	}
	row := &p.open[n-1]
	body := p.body.String()
	last := body[max(row.start, strings.LastIndexByte(body, '\n')+1):]
	switch label := strings.TrimSpace(last); {
	case p.fresh || label == "" || len(label) > maxLabel:
	case row.kids%2 == 1 && !hasDigit(bracketed().ReplaceAllString(label, "")) && strings.ContainsFunc(label, unicode.IsLetter) && !strings.ContainsRune(":.,;!?-–", lastRune(label)):
		p.gap = false
		p.sep(": ")
	case row.kids%2 == 0 && strings.Contains(label, ": ") && p.gap:
		p.newline()
	}
}

// rowTag lists the elements that may be a row of a label and its value.
var rowTag = map[atom.Atom]bool{atom.Div: true, atom.Li: true, atom.Section: true, atom.A: true, atom.Button: true, atom.P: true}

// panel matches the names of the parts of a page that a reader opens by a click: tabs, folds.
var panel = lazily(`(?i)(?:^|[\s_-])(?:tabs?|tab-?pane|tab-?panel|panels?|pane|accordion\w*|collaps\w*|fold|expand\w*|details?|more|toggle\w*|specs?|specifications?)(?:$|[\s_-])`)

// isPanel reports whether an element that is not shown at first is a tab or a fold of the offer.
func isPanel(role, names string) bool {
	return strings.EqualFold(role, "tabpanel") || panel().MatchString(names)
}

// styleHides reports whether an inline style takes an element off the page.
func styleHides(style string) bool {
	s := strings.ToLower(strings.Join(strings.Fields(style), ""))
	return strings.Contains(s, "display:none") || strings.Contains(s, "visibility:hidden")
}

// implied closes what a start tag closes without saying so: a list item, a paragraph, a cell, a row.
func (p *pageReader) implied(tag atom.Atom) {
	switch tag {
	case atom.Li:
		p.closeUpTo([]atom.Atom{atom.Li}, atom.Ul, atom.Ol, atom.Menu)
	case atom.Dt, atom.Dd:
		p.closeUpTo([]atom.Atom{atom.Dt, atom.Dd}, atom.Dl)
	case atom.Option:
		p.closeUpTo([]atom.Atom{atom.Option}, atom.Select)
	case atom.Td, atom.Th:
		p.closeUpTo([]atom.Atom{atom.Td, atom.Th}, atom.Tr, atom.Table)
	case atom.Tr:
		p.closeUpTo([]atom.Atom{atom.Tr}, atom.Table)
	case atom.Thead, atom.Tbody, atom.Tfoot:
		p.closeUpTo([]atom.Atom{atom.Thead, atom.Tbody, atom.Tfoot}, atom.Table)
	case atom.Body:
		p.closeUpTo([]atom.Atom{atom.Head}, atom.Body)
	default:
		if block[tag] && tag != atom.Option && tag != atom.Button {
			p.closeUpTo([]atom.Atom{atom.P}, atom.Td, atom.Th, atom.Button, atom.Div, atom.Section, atom.Article, atom.Li)
		}
	}
}

// closeUpTo closes the innermost open element that is one of tags, with all inside it, unless a fence comes first.
func (p *pageReader) closeUpTo(tags []atom.Atom, fences ...atom.Atom) {
	for i := len(p.open) - 1; i >= 0; i-- {
		t := p.open[i].tag
		for _, f := range fences {
			if t == f {
				return
			}
		}
		for _, want := range tags {
			if t == want {
				for len(p.open) > i {
					p.pop()
				}
				return
			}
		}
	}
}

// end handles an end tag: it closes the innermost element of that name; one that is not open is passed over. An inline
// end tag does not reach out of its cell.
func (p *pageReader) end(tag atom.Atom) {
	if p.overflow > 0 {
		p.overflow--
		return
	}
	if tag == atom.Br {
		p.newline()
		return
	}
	for i := len(p.open) - 1; i >= 0; i-- {
		if p.open[i].tag == tag {
			for len(p.open) > i {
				p.pop()
			}
			return
		}
		cell := p.open[i].tag == atom.Td || p.open[i].tag == atom.Th
		if cell && tag != atom.Tr && tag != atom.Table && tag != atom.Tbody && tag != atom.Thead && tag != atom.Body && tag != atom.Html {
			return
		}
	}
	if tag == atom.P {
		p.newline()
	}
}

// pop closes the innermost element.
func (p *pageReader) pop() {
	e := p.open[len(p.open)-1]
	p.open = p.open[:len(p.open)-1]
	if p.hidden == 0 {
		p.closed(e.tag)
	}
	if e.folds {
		p.newline()
		p.folded--
	}
	p.set(e)
	if n := len(p.open); n > 0 && p.hidden == 0 {
		if block[e.tag] {
			p.open[n-1].direct = true // it is no row of a label and its value
		} else if p.body.Len() > e.start {
			p.open[n-1].kids++
		}
	}
	if e.hides {
		p.hidden--
	}
	if e.strikes {
		p.struck--
	}
	if e.pre {
		p.pre--
	}
}

// opened and closed do what an element does to the lines and tables around it.
func (p *pageReader) opened(tag atom.Atom) {
	switch tag {
	case atom.Table, atom.Dl:
		if c := p.cell(); c != nil { // a table in a cell: the outer one is there for layout
			p.flushAsLines()
		}
		p.newline()
		p.tables = append(p.tables, &table{list: tag == atom.Dl})
	case atom.Tr:
		if t := p.table(); t != nil {
			p.endRow(t)
		}
	case atom.Td, atom.Th, atom.Dt, atom.Dd:
		if t := p.table(); t != nil {
			t.open(tag, p.span)
		} else {
			p.newline()
		}
	default:
		if block[tag] {
			p.newline()
		}
	}
}

func (p *pageReader) closed(tag atom.Atom) {
	switch tag {
	case atom.Table, atom.Dl:
		if t := p.table(); t != nil {
			p.endRow(t)
			p.tables = p.tables[:len(p.tables)-1]
		}
		p.newline()
	case atom.Tr:
		if t := p.table(); t != nil {
			p.endRow(t)
		}
	case atom.Td, atom.Th, atom.Dt, atom.Dd:
		p.gap = false
		if t := p.table(); t != nil {
			t.inCell = false
			if tag == atom.Dd {
				p.endRow(t)
			}
			if t.layout {
				p.newline()
			}
		} else {
			p.newline()
		}
	default:
		if block[tag] {
			p.newline()
		}
	}
}
