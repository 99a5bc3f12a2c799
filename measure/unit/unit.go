// Package unit holds quantities: a number, its unit, and the text it was read from.
//
// Units and their usual spellings stand in two embedded tables, units.csv and aliases.csv; a new spelling is a row,
// not code. Conversions use the exact factors of the international foot, pound and so on; nothing is rounded.
package unit

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"sort"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Dimension is the kind of thing that a unit measures; units of different dimensions never mix.
type Dimension string

// The dimensions in use. The unit named beside each is its base: the one that audit.json writes.
const (
	Flow          Dimension = "flow"          // m3/h
	Level         Dimension = "level"         // dB(A)
	Power         Dimension = "power"         // W
	Energy        Dimension = "energy"        // kWh
	Ratio         Dimension = "ratio"         // %
	Time          Dimension = "time"          // h
	Area          Dimension = "area"          // m2
	Length        Dimension = "length"        // m
	Volume        Dimension = "volume"        // m3
	Mass          Dimension = "mass"          // g
	Concentration Dimension = "ozone"         // ppb
	Rate          Dimension = "rate"          // 1/h (air changes)
	Temperature   Dimension = "temperature"   // degC
	Pressure      Dimension = "pressure"      // Pa
	Efficacy      Dimension = "rate per watt" // m3/(W h)
)

// Unit is one unit: its canonical name, its dimension, and how many base units of the dimension one of it is.
type Unit struct {
	Name      string
	Dimension Dimension
	Factor    float64
}

// Quantity is a number with its unit and the text that it was read from.
type Quantity struct {
	Value float64
	Unit  Unit
	Text  string
}

//go:embed units.csv
var unitsCSV string

//go:embed aliases.csv
var aliasesCSV string

type tables struct {
	units   map[string]Unit // by canonical name
	aliases map[string]Unit // by folded spelling, the canonical names included
	base    map[Dimension]Unit
	names   []string // folded spellings, longest first
}

var load = sync.OnceValue(func() *tables {
	t := &tables{units: map[string]Unit{}, aliases: map[string]Unit{}, base: map[Dimension]Unit{}}
	for _, r := range rows(unitsCSV) {
		f, err := factor(r[2])
		if err != nil {
			panic(fmt.Sprintf("units.csv: unit %q: %v", r[0], err))
		}
		u := Unit{Name: r[0], Dimension: Dimension(r[1]), Factor: f}
		t.units[u.Name] = u
		t.aliases[Fold(u.Name)] = u
		if f == 1 && t.base[u.Dimension].Name == "" {
			t.base[u.Dimension] = u
		}
	}
	for _, r := range rows(aliasesCSV) {
		u, ok := t.units[r[1]]
		if !ok {
			panic(fmt.Sprintf("aliases.csv: %q names no unit of units.csv", r[1]))
		}
		k := Fold(r[0])
		if old, taken := t.aliases[k]; taken && old.Name != u.Name {
			panic(fmt.Sprintf("aliases.csv: %q stands for %q and for %q", r[0], old.Name, u.Name))
		}
		t.aliases[k] = u
	}
	for k := range t.aliases {
		t.names = append(t.names, k)
	}
	sort.Slice(t.names, func(i, j int) bool {
		if len(t.names[i]) != len(t.names[j]) {
			return len(t.names[i]) > len(t.names[j])
		}
		return t.names[i] < t.names[j]
	})
	return t
})

func rows(text string) [][]string {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		panic(err)
	}
	return all[1:] // the first row is the header
}

// factor reads a product or quotient of decimal numbers such as "0.3048*0.3048" or "1/3600".
func factor(s string) (float64, error) {
	out := 1.0
	for i, part := range strings.Split(s, "/") {
		p := 1.0
		for _, f := range strings.Split(part, "*") {
			x, err := strconv.ParseFloat(strings.TrimSpace(f), 64)
			if err != nil {
				return 0, err
			}
			p *= x
		}
		if i == 0 {
			out = p
		} else {
			out /= p
		}
	}
	return out, nil
}

// Fold brings a spelling of a unit to the form that the alias table is searched by: compatibility characters
// decomposed (m³ → m3, ㎡ → m2), case folded, spaces and middle dots removed, all dashes and slashes made one.
func Fold(s string) string {
	s = norm.NFKC.String(strings.ToValidUTF8(s, "\ufffd")) // broken bytes would hold up the decomposing of what follows
	var b strings.Builder
	for _, r := range s {
		switch {
		case unicode.IsSpace(r), r == '\u00b7', r == '\u22c5', r == '\u2009', r == '\u202f', r == '_', r == '.':
			continue
		case r == '\u2044', r == '\u2215':
			r = '/'
		case r == '\u03bc', r == '\u039c': // Greek mu, to which NFKC takes the micro sign
			r = 'u'
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

// Lookup finds a unit by any of its spellings. The second result is false when the text is no unit that we know. Case
// counts where it tells a prefix from another: MW is no milliwatt, mJ no megajoule, Mg no milligram.
func Lookup(text string) (Unit, bool) {
	u, ok := load().aliases[Fold(text)]
	if ok && otherPrefix(text, u.Name) {
		return Unit{}, false
	}
	return u, ok
}

// otherPrefix reports whether a text begins with M and its unit with m for milli, or with m and its unit with M for mega,
// and was not written in one case throughout; a W is a capital in both.
func otherPrefix(text, name string) bool {
	text = strings.TrimSpace(text)
	rest := strings.IndexFunc(text[min(1, len(text)):], unicode.IsUpper) >= 0
	switch name {
	case "mW":
		return strings.HasPrefix(text, "M") && len(text) < 4
	case "mg", "mL", "ms", "mm":
		return strings.HasPrefix(text, "M") && len(text) < 4 && !rest
	case "MJ":
		return strings.HasPrefix(text, "m") && len(text) < 4 && rest
	}
	return false
}

// Same reports whether two spellings stand for one unit, or, where neither is known, are one but for case and spaces. A dB
// is the same as a dB(A) here.
func Same(a, b string) bool {
	x, ok := Lookup(a)
	y, too := Lookup(b)
	if ok && too {
		return x.Dimension == y.Dimension && x.Factor == y.Factor
	}
	return !ok && !too && Fold(a) == Fold(b)
}

// Must is Lookup for names that stand in the program itself; it panics on an unknown one.
func Must(name string) Unit {
	u, ok := Lookup(name)
	if !ok {
		panic("unknown unit " + name)
	}
	return u
}

// Base is the unit of a dimension that audit.json writes, the one with the factor 1.
func Base(d Dimension) Unit { return load().base[d] }

// Spellings lists every folded spelling that Lookup accepts, the longest first.
func Spellings() []string { return append([]string(nil), load().names...) }

// To converts q to the unit named. It is an error to ask for a unit of another dimension.
func (q Quantity) To(name string) (Quantity, error) {
	v, err := Convert(q.Value, q.Unit.Name, name)
	if err != nil {
		return Quantity{}, err
	}
	return Quantity{Value: v, Unit: Must(name), Text: q.Text}, nil
}

// Convert takes a value from one unit to another of the same dimension, to full precision.
func Convert(v float64, from, to string) (float64, error) {
	f, ok := Lookup(from)
	if !ok {
		return 0, fmt.Errorf("unknown unit %q", from)
	}
	t, ok := Lookup(to)
	if !ok {
		return 0, fmt.Errorf("unknown unit %q", to)
	}
	if f.Dimension != t.Dimension {
		return 0, fmt.Errorf("%q is a unit of %s, %q of %s", from, f.Dimension, to, t.Dimension)
	}
	if f == t {
		return v, nil
	}
	if f.Factor < t.Factor && t.Factor != 1 { // dividing by the inverse keeps round trips exact for decimal factors
		return v * (f.Factor / t.Factor), nil
	}
	return v * f.Factor / t.Factor, nil
}
