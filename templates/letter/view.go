package letter

import (
	"fmt"
	"strings"
	"time"

	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// View is what a template sees: the audit as text for people. Nothing in it needs computing.
type View struct {
	Version, Issued, Case Text
	Product               Product
	Test                  Test
	Measured              bool // something was measured
	Claims                []*Claim
	Results               []Result   // the measurements that claims were judged by
	Questions             []Question // on results and on what could not be assessed
	Findings              []*Finding // on words, findings of the same question in one
	Rule                  []Text     // the decision rule
	Numeric               int        // claims judged by a number
	Replies               []Reply
	Record                []RecordItem
	Present               int // items of the record that are there
	Exhibits              []Exhibit
	Hazards               []Text   // what was measured of ozone
	Warnings              []string // for the sender, before filing
	Deadline              ReplyBy
	Body                  *Body // authority letters with a body chosen
	Cautions              []Text

	audit *verdict.Audit
}

// Product is what the spec says the product is.
type Product struct{ Name, Maker, Model, Variant, Region, Price, Listing Text }

// Test is the test record.
type Test struct {
	Name, Address, Contact, Tester, Date, Sample, Method, Temperature, Humidity, Notes, Room Text
	Instruments                                                                              []Text
}

// ReplyBy is the day until which the maker is asked to answer.
type ReplyBy struct {
	Day      Text // 2026-08-17
	Weekday  Text
	Days     int // working days
	Holidays int // holidays left out on the way
}

// Reply is what was sent to the maker and what came back.
type Reply struct {
	Sent, Channel, Deadline, Received Text
	Text                              Text // in full
}

// RecordItem is one item of the completeness list.
type RecordItem struct {
	Letter, Item, From Text
	Present            bool
}

// Result is a measurement.
type Result struct {
	ID, Subject, Value, Method, Coverage Text
	Runs                                 int
	Warnings                             []Text
	Claims                               []Text // judged by it
}

// Question is what is asked of one or more claims.
type Question struct {
	Claims []Text
	Ask    Text
	Settle Text
}

func view(a *verdict.Audit, o Options) (*View, error) {
	day, err := time.Parse(time.DateOnly, a.Issued)
	if err != nil {
		return nil, fmt.Errorf("day of issue %q: a date such as 2031-03-14 would do", a.Issued)
	}
	p := a.Product
	v := &View{audit: a, Version: Text(a.Version), Issued: Text(a.Issued), Case: Text(a.Case), Numeric: a.Rule.Numeric, Body: o.Body,
		Product: Product{Name: Text(words.Product(a)), Maker: Text(p.Maker), Model: Text(p.Model), Variant: Text(p.Variant), Region: Text(p.Region),
			Price: Text(strings.TrimSpace(p.Price + " " + p.Currency)), Listing: Text(p.Listing)}}
	field := func(n string) Text { return Text(words.Field(a, n)) }
	v.Test = Test{Name: field("name"), Address: field("address"), Contact: field("contact"), Tester: field("tester"), Date: field("date"), Sample: field("sample"), Method: field("method"), Temperature: field("temperature"),
		Humidity: field("humidity"), Notes: field("notes"), Room: Text(strings.TrimPrefix(words.Room(a.Room), "Test room: "))}
	for _, i := range a.Test.Instruments {
		v.Test.Instruments = append(v.Test.Instruments, Text(joined("; ", strings.TrimSpace(i.ID+" "+i.Measures), label("serial ", i.Serial), label("calibrated ", i.Calibrated), i.Accuracy, i.Note)))
	}
	v.Measured = len(a.Measurements) > 0
	v.exhibits(o.Made)
	v.findings()
	v.claims()
	v.bounds(day)
	v.markFindings()
	v.results()
	v.questions()
	for _, s := range a.Rule.Text {
		v.Rule = append(v.Rule, prose(s))
	}
	for _, s := range a.Cautions {
		v.Cautions = append(v.Cautions, Text(s))
	}
	for _, r := range a.Replies {
		v.Replies = append(v.Replies, Reply{Text(r.Sent), Text(r.Channel), Text(r.Deadline), Text(r.Received), Text(r.Text)})
	}
	for _, c := range a.Test.Complete {
		v.Record = append(v.Record, RecordItem{Text(c.Letter), Text(c.Item), Text(c.From), c.Present})
		if c.Present {
			v.Present++
		}
	}
	v.hazards()
	return v, v.deadline(day, o)
}

func (v *View) deadline(day time.Time, o Options) error {
	d, err := Deadline(day, o.Days, o.Holidays)
	if err != nil {
		return err
	}
	n := 0
	seen := map[string]bool{}
	for _, h := range o.Holidays {
		w := h.Weekday()
		if h.After(day) && h.Before(d) && w != time.Saturday && w != time.Sunday && !seen[h.Format(time.DateOnly)] {
			n++
			seen[h.Format(time.DateOnly)] = true
		}
	}
	if kept := keptOn(d); len(o.Holidays) == 0 && len(kept) >= widelyKept && o.To == ToMaker {
		v.Warnings = append(v.Warnings, fmt.Sprintf("the reply is asked for by %s, a public holiday in %s: --holidays counts those of a country", d.Format(time.DateOnly), strings.Join(kept, ", ")))
	}
	v.Deadline = ReplyBy{Day: Text(d.Format(time.DateOnly)), Weekday: Text(d.Weekday().String()), Days: o.Days, Holidays: n}
	return nil
}

// results lists the measurements that claims were judged by, in the audit's order, with the derived ones at the end.
func (v *View) results() {
	at := map[string]int{}
	for i := range v.audit.Rows {
		m := v.audit.Rows[i].Measured
		if m == nil {
			continue
		}
		id := Text(v.audit.Rows[i].Claim.ID)
		if k, ok := at[m.ID]; ok && m.ID != "" {
			v.Results[k].Claims = append(v.Results[k].Claims, id)
			continue
		}
		at[m.ID] = len(v.Results)
		r := Result{ID: Text(m.ID), Value: Text(words.Measured(m)), Method: prose(m.Method), Runs: len(m.Runs), Claims: []Text{id},
			Subject: Text(words.Upper(joined(", ", m.Attribute, unless(m.Setting, m.Attribute), words.Particle(m.Particle))))}
		r.Coverage = Text(coverage(m))
		for _, w := range m.Warnings {
			r.Warnings = append(r.Warnings, prose(words.Upper(w.Text)))
		}
		v.Results = append(v.Results, r)
	}
}

// unless gives s, or "" where it stands within t already.
func unless(s, t string) string {
	if strings.Contains(t, s) {
		return ""
	}
	return s
}

// questions lists what to ask of the claims that are not supported, claims of the same question in one.
func (v *View) questions() {
	type key struct{ ask, settle Text }
	at := map[key]int{}
	for _, want := range []verdict.Outcome{verdict.Contradicted, verdict.Inconclusive, verdict.Unclear, verdict.Untested} {
		for _, c := range v.Claims {
			if c.Verdict != string(want) || c.Ask == "" {
				continue
			}
			same := key{c.Ask, load().settle[string(c.Attribute)]}
			if k, ok := at[same]; ok {
				v.Questions[k].Claims = append(v.Questions[k].Claims, c.ID)
				continue
			}
			at[same] = len(v.Questions)
			v.Questions = append(v.Questions, Question{Claims: []Text{c.ID}, Ask: c.Ask, Settle: same.settle})
		}
	}
}

// Known gives what the case knows of a particular that a body asks for, "" where it knows nothing.
func (v *View) Known(key string) Text {
	switch key {
	case "listing":
		return v.Product.Listing
	case "price":
		if v.Product.Price == "" {
			return ""
		}
		return "price recorded: " + v.Product.Price
	case "captures":
		var out []string
		for _, e := range v.Exhibits {
			if e.Capture {
				out = append(out, e.Number+" ("+string(e.Path)+")")
			}
		}
		return Text(label("exhibits ", strings.Join(out, ", ")))
	case "germs":
		return Text(strings.Join(v.quotes("BIO-"), "; "))
	case "ozone":
		if len(v.Hazards) > 0 {
			return "the part on ozone at the beginning"
		}
		return Text(strings.Join(v.quotes("OZ-"), "; "))
	case "sample":
		return v.Test.Sample
	case "model":
		return Text(joined(", ", string(v.Product.Name), string(v.Product.Variant)))
	case "seen":
		return "section 5"
	case "objection":
		return "section 7"
	case "replies":
		if len(v.Replies) == 0 {
			return "the case records no letter to the maker"
		}
		return "section 9"
	case "articles":
		return "Directive 2005/29/EC, Articles 6 and 7; proof is asked for under Article 12"
	case "test":
		return "the questions of section 7, and what the trader answered, section 9"
	}
	return ""
}

// quotes lists the words that findings of a group of rules are about.
func (v *View) quotes(prefix string) []string {
	var out []string
	for _, f := range v.audit.Findings {
		if strings.HasPrefix(f.Rule, prefix) && f.Quote != "" {
			out = append(out, "“"+f.Quote+"” ("+strings.Join(f.Claims, ", ")+", "+f.Rule+")")
		}
	}
	return out
}

// prose is a sentence of the program's own, its units in their printed form. What others have written stands as it is.
func prose(s string) Text { return Text(numeral.Prose(s)) }

func label(name, s string) string {
	if s == "" {
		return ""
	}
	return name + s
}

// joined joins the texts that are not empty.
func joined(sep string, ss ...string) string {
	var out []string
	for _, s := range ss {
		if s != "" {
			out = append(out, s)
		}
	}
	return strings.Join(out, sep)
}

// Answered reports whether the case records an answer of the maker.
func (v *View) Answered() bool { return words.Answered(v.audit.Replies) != "" }

// Complained lists the claims that a dossier takes up.
func (v *View) Complained() (out []*Claim) {
	for _, c := range v.Claims {
		if c.Complained() {
			out = append(out, c)
		}
	}
	return out
}

// Others lists the claims that a dossier does not take up; they are named in fairness.
func (v *View) Others() (out []*Claim) {
	for _, c := range v.Claims {
		if !c.Complained() {
			out = append(out, c)
		}
	}
	return out
}
