// Package room reads a room book, sets its reference units against their certificates, and says what the room adds to a
// delivery rate on a given day: the qualification that audits of that room use.
package room

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/measure/unit"
)

// Tables are the tables of a room book by the contract's names.
var Tables = []string{"room", "qualification", "checks", "noise", "survey"}

// Book is a room book as it was read.
type Book struct {
	Name     string
	Facts    []Fact // of the room table, as written
	Rows     []Row
	Checks   []Check
	Noise    []Noise
	Notes    []sheet.Note
	readings *sheet.Book
}

// Fact is one line of the room table.
type Fact struct{ Item, Value string }

// Row is one certificate of a reference unit. Rate is in m3/h and U its standard uncertainty; Common is the relative
// standard uncertainty that the laboratory's certificates share, NaN where not stated.
type Row struct {
	Product, Serial string
	Rate, U, Common float64
	Laboratory      string
	Certificate     string
	Date            string // YYYY-MM-DD
	Hours           float64
	Case            string // a case folder or an audit.json, from the book's folder
	Evidence        string
	Particle        string // of the certificate; "" where the case measured one alone
	Setting         string // of the certificate; "" for the highest
	Excluded        bool
	Why             string
	Place           sheet.Place
}

// Check is one session of a check unit.
type Check struct {
	Date, Unit, Case string
	Place            sheet.Place
}

// Noise is one row of what the room adds to a sound level: a reverberation time in seconds, or a reference source's level
// in the room and its calibrated level over a reflecting plane, in dB(A). NaN where not given; U is a standard uncertainty.
type Noise struct {
	At                         string
	Reverberation              float64
	SourceLevel, Calibrated, U float64
	Place                      sheet.Place
}

type factRow struct {
	Item  sheet.Text `csv:"item"`
	Value sheet.Text `csv:"value"`
	Unit  sheet.Text `csv:"unit"`
	PM    sheet.Text `csv:"±"`
}

type certificateRow struct {
	At          sheet.RowPlace `csv:"@row"`
	Product     sheet.Text     `csv:"product"`
	Serial      sheet.Text     `csv:"serial"`
	Rate        sheet.Number   `csv:"rate"`
	Unit        sheet.Text     `csv:"unit"`
	PM          sheet.Number   `csv:"±"`
	K           sheet.Number   `csv:"k"`
	Common      sheet.Number   `csv:"common ±"`
	Laboratory  sheet.Text     `csv:"laboratory"`
	Certificate sheet.Text     `csv:"certificate"`
	Date        sheet.Date     `csv:"date"`
	Hours       sheet.Number   `csv:"hours"`
	Case        sheet.Text     `csv:"case"`
	Evidence    sheet.Text     `csv:"evidence"`
	Particle    sheet.Text     `csv:"particle"`
	Setting     sheet.Text     `csv:"setting"`
	Exclude     sheet.Text     `csv:"exclude"`
	Why         sheet.Text     `csv:"why"`
}

type checkRow struct {
	At   sheet.RowPlace `csv:"@row"`
	Date sheet.Date     `csv:"date"`
	Unit sheet.Text     `csv:"check unit"`
	Case sheet.Text     `csv:"case"`
}

type noiseRow struct {
	At     sheet.RowPlace `csv:"@row"`
	Where  sheet.Text     `csv:"place"`
	Time   sheet.Number   `csv:"reverberation time"`
	Source sheet.Number   `csv:"source level"`
	Level  sheet.Number   `csv:"calibrated level"`
	PM     sheet.Number   `csv:"±"`
	K      sheet.Number   `csv:"k"`
}

// Read reads a room book. All that is wrong with its cells is reported together; what is refused as evidence is told by
// Qualify, since it hangs on the day.
func Read(b *sheet.Book) (*Book, sheet.Problems) {
	out := &Book{Name: b.Name(), readings: b}
	var ps sheet.Problems
	known := map[string]bool{"read me": true, "readme": true}
	for _, t := range Tables {
		known[t] = true
	}
	for _, name := range b.Tables() {
		if !known[sheet.FoldName(name)] {
			out.note(sheet.Place{Book: b.Name(), Sheet: name}, "this table is not one of %s; it was not used", strings.Join(Tables, ", "))
		}
	}
	for _, r := range decode[factRow](out, &ps, "room", "item", "value") {
		if r.Item.Value != "" {
			out.Facts = append(out.Facts, Fact{sheet.FoldName(r.Item.Value), strings.TrimSpace(strings.Join([]string{r.Value.Value, r.Unit.Value, plusMinus(r.PM.Value)}, " "))})
		}
	}
	for _, r := range decode[certificateRow](out, &ps, "qualification", "serial", "rate", "unit", "±", "laboratory", "certificate", "date", "hours", "case") {
		out.Rows = append(out.Rows, r.row(&ps))
	}
	for _, r := range decode[checkRow](out, &ps, "checks", "date", "check unit", "case") {
		needed(&ps, r.At.Place, map[string]bool{"date": r.Date.Given || r.Date.Bad, "check unit": r.Unit.Value != "", "case": r.Case.Value != ""})
		out.Checks = append(out.Checks, Check{Date: r.Date.ISO, Unit: r.Unit.Value, Case: r.Case.Value, Place: r.At.Place})
	}
	for _, r := range decode[noiseRow](out, &ps, "noise") {
		out.Noise = append(out.Noise, r.noise(&ps))
	}
	if len(out.Rows) == 0 && len(ps) == 0 {
		ps.Add(sheet.Place{Book: b.Name()}, "weighhouse new --room writes a blank form", "there is no row in a qualification table; a room book holds one row a certificate")
	}
	out.Notes = append(out.Notes, b.Notes()...)
	return out, ps
}

func (b *Book) note(at sheet.Place, format string, args ...any) {
	b.Notes = append(b.Notes, sheet.Note{Place: at, Text: fmt.Sprintf(format, args...)})
}

func decode[T any](b *Book, ps *sheet.Problems, name string, required ...string) []T {
	t := b.readings.Table(name)
	if t == nil {
		return nil
	}
	rows, notes, more := sheet.Decode[T](t, required...)
	b.Notes, *ps = append(b.Notes, notes...), append(*ps, more...)
	return rows
}

func plusMinus(s string) string {
	if s == "" {
		return ""
	}
	return "± " + s
}

// needed adds a problem for each cell that is blank and may not be, in the order of the columns.
func needed(ps *sheet.Problems, at sheet.Place, has map[string]bool) {
	for _, name := range []string{"serial", "rate", "±", "laboratory", "certificate", "date", "check unit", "hours", "case", "why"} {
		if given, asked := has[name]; asked && !given {
			ps.Add(at, "", "column %s: blank; a room book needs it in each row", name)
		}
	}
}

func (r certificateRow) row(ps *sheet.Problems) Row {
	out := Row{Product: r.Product.Value, Serial: r.Serial.Value, Rate: math.NaN(), U: math.NaN(), Common: math.NaN(), Laboratory: r.Laboratory.Value,
		Certificate: r.Certificate.Value, Date: r.Date.ISO, Hours: r.Hours.Value, Case: r.Case.Value, Evidence: r.Evidence.Value, Setting: r.Setting.Value,
		Excluded: yes(r.Exclude.Value), Why: r.Why.Value, Place: r.At.Place}
	has := map[string]bool{"serial": r.Serial.Value != "", "rate": r.Rate.Given || r.Rate.Bad, "±": r.PM.Given || r.PM.Bad, "laboratory": r.Laboratory.Value != "",
		"certificate": r.Certificate.Value != "", "date": r.Date.Given || r.Date.Bad, "hours": r.Hours.Given || r.Hours.Bad, "case": r.Case.Value != ""}
	if out.Excluded {
		has["why"] = out.Why != ""
	}
	needed(ps, r.At.Place, has)
	if r.Particle.Value != "" {
		p, ok := measure.Particle(r.Particle.Value)
		if !ok {
			ps.Add(r.Particle.Place, "", "found %q; expected %s, or a size such as 0.3 um", r.Particle.Value, strings.Join(measure.Particles, ", "))
		}
		out.Particle = p
	}
	if !r.Rate.Given {
		return out
	}
	unitText := r.Unit.Value
	if unitText == "" {
		unitText = r.Rate.Unit
	}
	v, err := unit.Convert(r.Rate.Value, unitText, "m3/h")
	switch {
	case err != nil:
		ps.Add(r.Rate.Place, "", "%v", err)
		return out
	case v <= 0:
		ps.Add(r.Rate.Place, "", "found %q; a certified rate is above 0", r.Rate.Text)
		return out
	}
	out.Rate = v
	k := 2.0
	if r.K.Given {
		if k = r.K.Value; k <= 0 {
			ps.Add(r.K.Place, "", "found %q; a coverage factor is above 0", r.K.Text)
			return out
		}
	}
	stated := func(n sheet.Number) float64 { // relative standard uncertainty
		if !n.Given {
			return math.NaN()
		}
		if n.Value < 0 {
			ps.Add(n.Place, "", "found %q; an uncertainty is not negative", n.Text)
			return math.NaN()
		}
		if strings.Contains(n.Unit, "%") {
			return n.Value / 100 / k
		}
		return n.Value / r.Rate.Value / k
	}
	out.U, out.Common = stated(r.PM)*v, stated(r.Common)
	if r.PM.Given && !(out.U > 0) && len(*ps) == 0 {
		ps.Add(r.PM.Place, "", "found %q; a certificate states an uncertainty above 0", r.PM.Text)
	}
	return out
}

func (r noiseRow) noise(ps *sheet.Problems) Noise {
	out := Noise{At: r.Where.Value, Reverberation: given(r.Time), SourceLevel: given(r.Source), Calibrated: given(r.Level), U: math.NaN(), Place: r.At.Place}
	k := 2.0
	if r.K.Given && r.K.Value > 0 {
		k = r.K.Value
	}
	if r.PM.Given {
		out.U = r.PM.Value / k
	}
	switch {
	case r.Time.Given && !(r.Time.Value > 0 && r.Time.Value < 20):
		ps.Add(r.Time.Place, "", "found %q; a reverberation time is above 0 and below 20 s", r.Time.Text)
	case r.Source.Given != r.Level.Given:
		ps.Add(r.At.Place, "", "a source level and its calibrated level go together; one is blank")
	case !r.Source.Given && !r.Time.Given:
		ps.Add(r.At.Place, "", "blank; expected a reverberation time, or a source level with its calibrated level")
	}
	return out
}

func given(n sheet.Number) float64 {
	if !n.Given {
		return math.NaN()
	}
	return n.Value
}

func yes(s string) bool {
	switch sheet.FoldName(s) {
	case "yes", "true", "1", "y", "x":
		return true
	}
	return false
}
