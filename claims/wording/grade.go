package wording

import (
	_ "embed"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"sync"
)

// Grade is one class of one filter standard. Efficiencies are percentages; 0 where the class sets none.
type Grade struct {
	System     string  // EN 1822, ISO 29463, ISO 16890, EN 779, ASHRAE 52.2, 42 CFR 84
	Class      string  // H13, ISO 35 H, MERV 13 …
	Group      string  // E, H, U; M, F, G; MERV; ePM; respirator
	Integral   float64 // overall efficiency that the class asks for: at MPPS, or at SizeUm
	Local      float64 // lowest local efficiency (leak test), groups H and U
	E1, E2, E3 float64 // MERV: 0.30–1.00, 1.00–3.00, 3.00–10.00 µm
	Arrestance float64 // of synthetic dust
	Upper      float64 // the class ends below this figure
	Discharged float64 // lowest efficiency of the discharged filter
	FinalPa    float64 // final pressure drop of the test, Pa
	SizeUm     float64 // particle size of Integral; 0 where it is the MPPS or a range
	MPPS       bool    // Integral and Local stand at the most penetrating particle size
	Standard   string  // with edition
	Source     string
	Mark       string
}

//go:embed tables/grades.csv
var gradesCSV string

var gradeTable = sync.OnceValue(func() []Grade {
	var out []Grade
	for _, r := range records("grades.csv", gradesCSV, 17) {
		f := func(i int) float64 {
			if r[i] == "" {
				return 0
			}
			v, err := strconv.ParseFloat(r[i], 64)
			if err != nil {
				panic(fmt.Sprintf("grades.csv: class %q: %v", r[1], err))
			}
			return v
		}
		out = append(out, Grade{System: r[0], Class: r[1], Group: r[2], Integral: f(3), Local: f(4), E1: f(5), E2: f(6), E3: f(7),
			Arrestance: f(8), Upper: f(9), Discharged: f(10), FinalPa: f(11), SizeUm: f(12), MPPS: r[13] == "yes",
			Standard: r[14], Source: r[15], Mark: r[16]})
	}
	return out
})

// Grades lists every class of every table in force, in the order of the tables.
func Grades() []Grade { return append([]Grade(nil), gradeTable()...) }

var gradeIndex = sync.OnceValue(func() map[string]*Grade {
	m := map[string]*Grade{}
	for i := range gradeTable() {
		g := &gradeTable()[i]
		m[strings.ToLower(strings.ReplaceAll(g.Class, " ", ""))] = g
	}
	return m
})

// LookupGrade finds the first filter class that text names and that stands in a table: "HEPA H13", "ISO 35 H",
// "MERV-13", "ISO ePM1 80 %". A bare "HEPA" is no class: several definitions bear that name.
func LookupGrade(text string) (Grade, bool) {
	if len(text) > passageCap {
		text = text[:passageCap]
	}
	fullRules() // the tables must be whole before the tokenizer reads them
	ts := tokenize(foldTerm(text), nil)
	for _, c := range findCodes(ts, nil) {
		if c.grade != nil {
			return *c.grade, true
		}
	}
	return Grade{}, false
}

// code is a filter class as a passage names it, in a table or not.
type code struct {
	system  string
	name    string // canonical: H13, ISO 35 H, MERV 13
	grade   *Grade // nil: in no table
	old     bool   // H10, H11, H12: names from before 2009
	tok     int
	end     int
	pct     float64 // ISO ePMx: the percentage that follows, 0 for none
	pctText string
	anchor  bool // the code says by itself that a filter is meant (MERV, ISO … H, HEPA 13)
}

var (
	en1822Code = regexp.MustCompile(`^([ehu])(\d{1,2})((?:[.,]\d)?)$`)
	en779Code  = regexp.MustCompile(`^([gmf])([1-9])$`)
	respirator = regexp.MustCompile(`^(?:k?n(?:95|99|100)|[rp](?:95|99|100)|ffp[1-3])$`)
	epmCode    = regexp.MustCompile(`^epm(\d+(?:[.,]\d)?)$`)
	isoCode    = regexp.MustCompile(`^iso(\d{2})([ehu]?)$`)
	mervCode   = regexp.MustCompile(`^merv(\d{1,2})a?$`)
)

// respiratorSystem stands for all standards of breathing masks: 42 CFR 84, EN 149, GB 2626.
const respiratorSystem = "respirator"

// findCodes reads all filter classes of a passage, without asking yet whether a filter is meant.
func findCodes(ts []token, out []code) []code {
	for i := 0; i < len(ts); i++ {
		c, ok := codeAt(ts, i)
		if !ok {
			continue
		}
		if c.grade == nil {
			c.grade = gradeIndex()[strings.ToLower(strings.ReplaceAll(c.name, " ", ""))]
		}
		out = append(out, c)
		ts[i].c = len(out)
		i = c.end - 1
	}
	return out
}

func codeAt(ts []token, i int) (code, bool) {
	t := ts[i].text
	if ts[i].kind != wordToken || len(t) > 8 {
		return code{}, false
	}
	num := func(j int) (string, bool) { // an integer at token j
		if j < len(ts) && ts[j].kind == numberToken && len(ts[j].text) <= 2 {
			return ts[j].text, true
		}
		return "", false
	}
	c := code{tok: i, end: i + 1}
	if !strings.ContainsAny(t, "0123456789") && t != "hepa" && t != "merv" && t != "iso" && t != "h" && t != "e" && t != "u" {
		return code{}, false
	}
	switch t[0] {
	case 'e', 'h', 'u', 'g', 'm', 'f', 'k', 'n', 'r', 'p', 'i':
	default:
		return code{}, false
	}
	if m := en1822Code.FindStringSubmatch(t); m != nil {
		c.setEN1822(m[1], m[2], m[3])
		return c, true
	}
	if m := en779Code.FindStringSubmatch(t); m != nil {
		c.system, c.name = "EN 779", strings.ToUpper(t)
		return c, gradeIndex()[t] != nil
	}
	if respirator.MatchString(t) {
		c.system, c.name, c.anchor = respiratorSystem, strings.ToUpper(t), true
		return c, true
	}
	if m := mervCode.FindStringSubmatch(t); m != nil {
		c.system, c.name, c.anchor = "ASHRAE 52.2", "MERV "+m[1], true
		return c, true
	}
	if m := epmCode.FindStringSubmatch(t); m != nil {
		c.epm(ts, m[1])
		return c, true
	}
	switch t {
	case "merv":
		if n, ok := num(i + 1); ok {
			c.system, c.name, c.end, c.anchor = "ASHRAE 52.2", "MERV "+n, i+2, true
			return c, true
		}
	case "hepa":
		if n, ok := num(i + 1); ok && (n >= "10" && n <= "17") && !(i+2 < len(ts) && (ts[i+2].text == "%" || ts[i+1].q > 0)) {
			c.setEN1822("h", n, "")
			c.end, c.anchor = i+2, true
			return c, true
		}
	case "h", "e", "u":
		if n, ok := num(i + 1); ok && n >= "10" && n <= "17" && i+1 < len(ts) && ts[i+1].q == 0 {
			c.setEN1822(t, n, "")
			c.end = i + 2
			return c, true
		}
	case "iso":
		if n, ok := num(i + 1); ok && len(n) == 2 && i+2 < len(ts) && len(ts[i+2].text) == 1 && strings.ContainsAny(ts[i+2].text, "ehu") {
			c.iso(n, ts[i+2].text)
			c.end = i + 3
			return c, true
		}
		if n, ok := num(i + 1); ok && len(n) == 2 {
			return code{}, false
		}
		if i+1 < len(ts) && ts[i+1].text == "coarse" {
			c.system, c.name, c.end, c.anchor = "ISO 16890", "ISO Coarse", i+2, true
			return c, true
		}
		if i+1 < len(ts) {
			if m := epmCode.FindStringSubmatch(ts[i+1].text); m != nil {
				c.end = i + 2
				c.epm(ts, m[1])
				return c, true
			}
		}
		// "ISO 35H": the letter hangs on the number
	}
	if m := isoCode.FindStringSubmatch(t); m != nil {
		letter := m[2]
		if letter == "" && i+1 < len(ts) && len(ts[i+1].text) == 1 && strings.ContainsAny(ts[i+1].text, "ehu") {
			letter, c.end = ts[i+1].text, i+2
		}
		if letter != "" {
			c.iso(m[1], letter)
			return c, true
		}
	}
	return code{}, false
}

func (c *code) setEN1822(letter, digits, decimal string) {
	c.system, c.name = "EN 1822", strings.ToUpper(letter)+digits+strings.Replace(decimal, ",", ".", 1)
	c.old = letter == "h" && decimal == "" && (digits == "10" || digits == "11" || digits == "12")
	if c.old {
		c.grade = gradeIndex()["e"+digits] // what the old name is called since 2009
	}
}

func (c *code) iso(n, letter string) {
	c.system, c.name, c.anchor = "ISO 29463", "ISO "+n+" "+strings.ToUpper(letter), true
}

// epm reads the percentage after ISO ePMx.
func (c *code) epm(ts []token, size string) {
	c.system, c.name, c.anchor = "ISO 16890", "ISO ePM"+strings.Replace(size, ",", ".", 1), true
	j := c.end
	if j < len(ts) && (ts[j].text == ">" || ts[j].text == "≥") {
		c.pctText = ts[j].text
		j++
	}
	if j+1 < len(ts) && ts[j].kind == numberToken && ts[j+1].text == "%" {
		c.pct, c.end = ts[j].value, j+2
		c.pctText += ts[j].text
	}
}

// fine tells whether the class is one of the E, H and U classes, which are set at MPPS.
func (c code) fine() bool { return c.system == "EN 1822" || c.system == "ISO 29463" }
