package page

import (
	"fmt"
	"html/template"
	"net/url"
	"slices"
	"strings"

	"weighhouse/templates/figure"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// htmlText is markup that this program made, such as a figure; foreign text never becomes one without escaping.
type htmlText = template.HTML

// span is a part of a text: plain, a link into the page, marked, bold, secondary, or a quotation of foreign words, which
// keep their own direction.
type span struct {
	Text, Href                string
	Marked, Bold, Soft, Other bool
}

func plain(s string) []span { return []span{{Text: s}} }

// fact is a name with what is said under it, each a paragraph of its own.
type fact struct {
	Name   string
	Values [][]span
}

// facts is a list of them that leaves out what is empty.
type facts []fact

func (f *facts) say(name, s string) {
	if s != "" {
		f.add(name, span{Text: s})
	}
}

func (f *facts) add(name string, ss ...span) {
	if len(ss) == 0 {
		return
	}
	if n := len(*f); n > 0 && (*f)[n-1].Name == name {
		(*f)[n-1].Values = append((*f)[n-1].Values, ss)
		return
	}
	*f = append(*f, fact{name, [][]span{ss}})
}

// view is all that the page shows, in its order.
type view struct {
	CSS                            template.CSS
	Marks                          []htmlText
	Name, Title, Eyebrow, Subject  string
	Author, Tool, Issued           string
	Identity                       facts
	Listing                        *listing
	NothingMeasured                bool
	AboutVerdicts                  string
	Counts                         []count
	Left                           string // what was refused and not read, counted
	LeftOut                        []leftBlock
	Table                          []claimRow
	TopTitle                       string
	Top                            []topFinding
	AskedTitle                     string
	Asked, More                    []question
	Since                          [][]span // what has happened since the captures and the measurements
	Contents                       []span
	Rule                           []string
	Meanings                       []meaning
	Overview                       []drawing // the claims' figure
	Levels                         []drawing
	Claims                         []claimBlock
	FindingsTitle                  string
	Findings, Fixed                []findingBlock
	Measurements                   []measurementBlock
	CostsFigure                    []drawing
	Costs                          *table
	Info                           []infoBlock
	History                        []threadBlock
	Record                         facts
	Instruments, Complete          *table
	CompleteTitle                  string
	Inputs                         *table
	Replies                        []replyBlock
	Notes, Cautions                []string
	AboutOverview, AboutFindings   string
	FixedTitle, AboutFixed         string
	AboutResults, AboutInfo        string
	AboutCosts                     string
	AboutRecord, AboutInputs, Note string
	HasRecord                      bool
}

// listing is the product's listing; Href is empty where its address is none that may be followed.
type listing struct{ Text, Href string }

type count struct {
	N       int
	Outcome verdict.Outcome
}

// leftBlock lists what was not used.
type leftBlock struct {
	Head  string
	Lines []string
}

type meaning struct {
	Outcome verdict.Outcome
	Text    string
}

type question struct {
	Claims []span
	Ask    string
}

func newView(a *verdict.Audit) *view {
	n := newAnchors(a)
	name := words.Product(a)
	v := &view{
		CSS: template.CSS(pageCSS), Name: name, Title: "Claims audit: " + name, Eyebrow: words.Eyebrow(a),
		Subject: "What its maker says of the " + name + ", set against what was measured",
		Author:  words.Field(a, "tester"), Tool: strings.TrimSpace("weighhouse " + a.Version), Issued: a.Issued,
		NothingMeasured: len(a.Measurements) == 0, AboutVerdicts: words.AboutVerdicts,
		AboutOverview: words.AboutOverview, AboutFindings: words.AboutFindings, FixedTitle: words.FixedHead, AboutFixed: words.AboutFixed, AboutResults: words.AboutResults,
		AboutInfo: words.AboutInfo, AboutCosts: words.AboutCosts, AboutRecord: words.AboutRecord, AboutInputs: words.AboutInputs, Note: words.NotInPart,
		Notes: a.Notes, Cautions: a.Cautions, Left: words.Upper(words.LeftOut(a)),
		LeftOut: []leftBlock{{words.RefusedHead, words.RefusedLines(a)}, {words.NotReadHead, words.NotReadLines(a)}},
	}
	for _, o := range verdict.Outcomes {
		v.Marks = append(v.Marks, htmlText(figure.SVG(figure.VerdictMark(o, 10))))
		v.Counts = append(v.Counts, count{a.Count(o), o})
		v.Meanings = append(v.Meanings, meaning{o, words.Meaning(o)})
	}
	v.identity(a)
	v.answer(a, n)
	for _, s := range append(a.Rule.Text[:len(a.Rule.Text):len(a.Rule.Text)], words.Room(a.Room)) {
		if s != "" {
			v.Rule = append(v.Rule, numeral.Prose(s))
		}
	}
	if d, ok := n.draw(figure.Claims(a)); ok {
		v.Overview = append(v.Overview, d)
	}
	for _, f := range figure.Levels(a) {
		if d, ok := n.draw(f); ok {
			v.Levels = append(v.Levels, d)
		}
	}
	v.claims(a, n)
	v.findings(a, n)
	v.measurements(a, n)
	v.costs(a, n)
	v.information(a, n)
	v.record(a)
	v.contents()
	return v
}

// identity says what was tested, by whom and when.
func (v *view) identity(a *verdict.Audit) {
	p := a.Product
	f := &v.Identity
	f.say("Variant", p.Variant)
	f.say("Region", p.Region)
	f.say("Price", strings.TrimSpace(p.Price+" "+p.Currency))
	f.say("Unit tested", words.Field(a, "sample"))
	f.say("Tested by", words.Field(a, "tester"))
	f.say("Tested on", words.Field(a, "date"))
	if m := words.Field(a, "method"); m != "" {
		f.say("Tested in", "a "+m)
	}
	if p.Listing != "" {
		v.Listing = &listing{p.Listing, webAddress(p.Listing)}
	}
}

// webAddress gives an address that a reader may follow: http or https with a host, else "".
func webAddress(s string) string {
	u, err := url.Parse(strings.TrimSpace(s))
	if err != nil || u.Host == "" || u.User != nil || u.Scheme != "http" && u.Scheme != "https" {
		return ""
	}
	return u.String()
}

// Of the findings the answer shows so many, and so many of the questions before it folds the rest away.
const (
	shownFindings  = 3
	shownQuestions = 6
)

type topFinding struct {
	Quote, Why string
	At         []span
}

type claimRow struct {
	Back       string // the row's own id
	Claim      span
	Subject    string
	Said, Soft string
	Quoted     bool
	Measured   string
	Limit      string
	Words      string
	Verdict    verdict.Outcome
	Sure       string
}

func (v *view) answer(a *verdict.Audit, n *anchors) {
	for i := range a.Rows {
		row := &a.Rows[i]
		c := row.Claim
		r := claimRow{Back: n.back[i], Claim: link(orText(c.ID, "claim"), n.row[i]), Subject: words.Subject(c), Said: words.Claimed(c), Soft: words.AsWritten(c),
			Measured: words.Measured(row.Measured), Limit: words.Limit(row.Limit), Words: numeral.Prose(orText(row.GapWords, numeral.Dash)), Verdict: row.Verdict, Sure: words.Sure(row)}
		if c.Claimed == nil && c.Wording != "" {
			r.Said, r.Quoted = words.Shorten(c.Wording, 60), true
		}
		v.Table = append(v.Table, r)
	}
	order := words.Open(a.Findings)
	v.TopTitle = "What the words leave open"
	if n := len(order); n > shownFindings {
		order = order[:shownFindings]
		v.TopTitle += fmt.Sprintf(": the %d that matter most of %d", shownFindings, n)
	}
	for _, i := range order {
		f := a.Findings[i]
		at := append(n.claimsOf(f.Claims), span{Text: ", "}, link(orText(words.RuleName(f), "finding"), n.finding[i]))
		if len(f.Claims) == 0 {
			at = at[1:]
		}
		v.Top = append(v.Top, topFinding{words.Shorten(f.Quote, 90), numeral.Prose(f.Why), at})
	}
	v.since(a, n)
	v.AskedTitle = words.QuestionsHead(a)
	qs := words.Questions(a)
	needed := words.Needed(a, qs)
	for i, q := range qs {
		x := question{n.rows(a, slices.Sorted(slices.Values(q.Rows))), numeral.Prose(q.Ask)}
		if i < max(shownQuestions, needed) {
			v.Asked = append(v.Asked, x)
		} else {
			v.More = append(v.More, x)
		}
	}
}

// since says what has happened since the claims were captured and measured: the maker's answer, later captures.
func (v *view) since(a *verdict.Audit, n *anchors) {
	if s := verdict.MarkedText(a.Marked); s != "" {
		v.Since = append(v.Since, []span{{Text: "Marked", Bold: true}, {Text: ": " + s + "."}})
	}
	for i, c := range words.Checks(a) {
		if i == 0 {
			v.Since = append(v.Since, []span{{Text: "Check this", Bold: true}, {Text: ": what follows may have been written down wrongly."}})
		}
		v.Since = append(v.Since, []span{{Text: "– " + c}})
	}
	if s := words.Answered(a.Replies); s != "" {
		t := []span{{Text: strings.TrimSuffix(s, "."), Bold: true}, {Text: ": "}, link("its answer in full", "replies")}
		if on := words.AnsweredOn(a); len(on) > 0 {
			t = append(append(t, span{Text: "; what it says of "}), n.rows(a, on)...)
			t = append(t, span{Text: " stands with these claims"})
		}
		v.Since = append(v.Since, append(t, span{Text: "."}))
	}
	changed, absent := words.Later(a)
	if len(changed)+len(absent) == 0 {
		return
	}
	t := []span{{Text: "Later captures", Bold: true}, {Text: " of the same source: "}}
	if len(changed) > 0 {
		t = append(append(t, n.rows(a, changed)...), span{Text: " changed"})
	}
	if len(changed) > 0 && len(absent) > 0 {
		t = append(t, span{Text: "; "})
	}
	if len(absent) > 0 {
		t = append(append(t, n.rows(a, absent)...), span{Text: " not recorded again"})
	}
	v.Since = append(v.Since, append(t, span{Text: ": "}, link("what was printed when", "history"), span{Text: "."}))
}

func orText(s, other string) string {
	if strings.TrimSpace(s) == "" {
		return other
	}
	return s
}

// contents lists the parts that the page has, in its order.
func (v *view) contents() {
	for _, p := range []struct {
		has        bool
		text, href string
	}{
		{true, "How the claims were judged", "rule"},
		{len(v.Overview)+len(v.Levels) > 0, "Claimed and measured at a glance", "overview"},
		{len(v.Claims) > 0, "Claim by claim", "claims"},
		{len(v.Findings) > 0, "What the words leave open", "findings"},
		{len(v.Fixed) > 0, words.FixedHead, "fixed"},
		{len(v.Measurements) > 0, "Measurements, method and uncertainty", "measurements"},
		{v.Costs != nil, "What it costs to run for one year", "costs"},
		{len(v.Info) > 0, "What follows from the results", "information"},
		{len(v.History) > 0, "What was printed when", "history"},
		{v.HasRecord, "Test record", "record"},
		{v.Inputs != nil, "Inputs", "inputs"},
		{len(v.Replies) > 0, "What the maker was asked and answered", "replies"},
		{v.Left != "", "What was refused and not read", "left"},
		{len(v.Notes) > 0, "Notes on reading the inputs", "notes"},
		{true, "Cautions", "cautions"},
	} {
		if p.has {
			v.Contents = append(v.Contents, link(p.text, p.href))
		}
	}
}
