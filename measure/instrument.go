package measure

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

//go:embed instruments.csv
var instrumentsCSV string

// DefaultInstrument is the uncertainty that stands in where the book states none: one row of instruments.csv.
type DefaultInstrument struct {
	ID       string
	Quantity string  // level, power or mass
	Name     string  // in words for the report
	Abs      float64 // constant part of the standard uncertainty: dB, W or g
	Percent  float64 // part in proportion to the reading, %
	Doubt    float64 // Δu/u, how well the standard uncertainty itself is known
	Source   string
	Mark     string // read, second-hand, memory, computed, judgement
}

// U is the standard uncertainty at a reading: Percent/100·|reading| + Abs.
func (d DefaultInstrument) U(reading float64) float64 {
	return d.Percent/100*math.Abs(reading) + d.Abs
}

// DOF is ½·(Δu/u)⁻², GUM G.4.2.
func (d DefaultInstrument) DOF() float64 { return TypeBDOF(d.Doubt) }

// rule is U in words: "u = 3 % of the reading + 0.5 W".
func (d DefaultInstrument) rule() string {
	abs := fmt.Sprintf("%g %s", d.Abs, map[string]string{"level": "dB", "power": "W", "mass": "g"}[d.Quantity])
	if d.Percent > 0 {
		return fmt.Sprintf("u = %g %% of the reading + %s", d.Percent, abs)
	}
	return "u = " + abs
}

// short is the row for a warning, note with its source for a budget.
func (d DefaultInstrument) short() string { return d.Name + ", " + d.rule() }

func (d DefaultInstrument) note() string {
	return fmt.Sprintf("%s: %s (%s)", d.short(), d.Source, d.Mark)
}

var loadInstruments = sync.OnceValue(func() []DefaultInstrument {
	var out []DefaultInstrument
	for _, r := range table(instrumentsCSV) {
		out = append(out, DefaultInstrument{
			ID: r["id"], Quantity: r["quantity"], Name: r["name"], Source: r["source"], Mark: r["mark"],
			Abs: number(r["u_abs"]), Percent: number(r["u_percent"]), Doubt: number(r["relative_doubt"]),
		})
	}
	return out
})

// DefaultInstruments lists the uncertainties that stand in where a book states none.
func DefaultInstruments() []DefaultInstrument {
	return append([]DefaultInstrument(nil), loadInstruments()...)
}

// instrument finds a row of instruments.csv; it panics on a name that the program itself misspells.
func instrument(id string) DefaultInstrument {
	for _, d := range loadInstruments() {
		if d.ID == id {
			return d
		}
	}
	panic("instruments.csv has no row " + id)
}

// Meter is an instrument as the book names it.
type Meter struct {
	ID       string
	Accuracy string    // as written
	Acc      *Accuracy // nil where the book states none, or none that can be read
	Kind     string    // one of the Meter kinds below
}

// The kinds of meter that a description tells apart.
const (
	ClassOne      = "class 1"
	ClassTwo      = "class 2"
	Phone         = "phone"
	PhoneExternal = "phone external" // with a calibrated external microphone
	PlugIn        = "plug-in"
	UnknownKind   = "unknown"
)

var (
	classOneWords = regexp.MustCompile(`\b(?:class|type|klasse|classe|clase) ?(?:1|i)\b`)
	classTwoWords = regexp.MustCompile(`\b(?:class|type|klasse|classe|clase) ?(?:2|ii)\b`)
	phoneWords    = regexp.MustCompile(`\b(?:smart ?phone|phone|telephone|handy|mobile|tablet|app)\b`)
	externalWords = regexp.MustCompile(`\b(?:external|calibrated|measurement|messmikrofon) ?(?:calibrated |measurement )?(?:mic|microphone|mikrofon)\b|\bmessmikrofon\b`)
	plugInWords   = regexp.MustCompile(`\b(?:plug ?in|socket|outlet|energy) (?:power |energy |cost )*(?:meter|monitor)\b|\bplug ?in\b|\bsteckdose`)
)

// MeterKind tells from a description of an instrument what kind it is: "sound level meter, class 2" → "class 2".
func MeterKind(description string) string {
	s := Fold(description)
	switch {
	case classOneWords.MatchString(s):
		return ClassOne
	case classTwoWords.MatchString(s):
		return ClassTwo
	case phoneWords.MatchString(s) && externalWords.MatchString(s):
		return PhoneExternal
	case phoneWords.MatchString(s):
		return Phone
	case plugInWords.MatchString(s):
		return PlugIn
	}
	return UnknownKind
}

// NewMeter makes a Meter from an instruments row: its id, its accuracy as written ("" where none is stated) and
// whatever else describes it. The error is that of the accuracy; the meter is usable all the same, without it.
func NewMeter(id, accuracy, description string) (Meter, error) {
	m := Meter{ID: id, Accuracy: strings.TrimSpace(accuracy), Kind: MeterKind(description + " " + accuracy)}
	if m.Accuracy == "" {
		return m, nil
	}
	a, err := ParseAccuracy(m.Accuracy)
	if err != nil {
		return m, err
	}
	m.Acc = &a
	if a.Class == 1 {
		m.Kind = ClassOne
	} else if a.Class == 2 {
		m.Kind = ClassTwo
	}
	return m, nil
}

// table reads an embedded CSV table into one map a row, by the header's names. The tables are part of the program:
// a malformed one is a defect of it and panics.
func table(text string) []map[string]string {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	var out []map[string]string
	for _, row := range all[1:] {
		m := map[string]string{}
		for i, h := range all[0] {
			m[h] = row[i]
		}
		out = append(out, m)
	}
	return out
}

// number reads a figure of an embedded table, a product or quotient such as "1.55*0.09290304/1.69901079552"; blank is NaN.
func number(s string) float64 {
	if s == "" {
		return math.NaN()
	}
	out := 1.0
	for i, part := range strings.Split(s, "/") {
		p := 1.0
		for _, f := range strings.Split(part, "*") {
			x, err := strconv.ParseFloat(strings.TrimSpace(f), 64)
			if err != nil {
				panic(err)
			}
			p *= x
		}
		if i == 0 {
			out = p
		} else {
			out /= p
		}
	}
	return out
}
