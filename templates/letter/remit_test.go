package letter

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"weighhouse/templates/internal/mossgate"
)

// TestRemit: a claim outside a body's remit is left out and named, with the reason; one that is within stays.
func TestRemit(t *testing.T) {
	body := func(id string) *Body {
		b, err := FindBody(id)
		if err != nil {
			t.Fatal(err)
		}
		return &b
	}
	for _, x := range []struct {
		body, source, attribute string
		rules                   []Text
		out                     bool
	}{
		{"asa", "box, back panel", "noise", nil, true}, {"asa", "listing, product page", "noise", nil, false}, {"asa", "website with a box of figures", "noise", nil, true},
		{"asa", "inbox mail", "noise", nil, false}, {"asa", "rating plate", "power", nil, true}, {"cma", "box", "noise", nil, false},
		{"epa", "listing", "noise", []Text{"NS-01"}, true}, {"epa", "listing", "filter efficiency", []Text{"BIO-01"}, false}, {"carb", "listing", "ozone", nil, false},
		{"carb", "listing", "delivery rate", []Text{"CV-02"}, true}, {"ftc", "box", "carbon mass", nil, false},
	} {
		c := &Claim{Attribute: Text(x.attribute), Source: Text(x.source), Rules: x.rules}
		if why := body(x.body).outside(c); (why != "") != x.out {
			t.Errorf("%+v: %q", x, why)
		}
	}
}

// TestRegionAndTime: the sender is told where the product's region is another, and where the captures are older than the
// body looks at.
func TestRegionAndTime(t *testing.T) {
	for _, x := range []struct {
		body, region, issued string
		want                 []string
	}{
		{"asa", "EU", "2031-02-20", []string{`region is "EU", the body acts in United Kingdom`}},
		{"asa", "UK", "2031-02-20", nil},
		{"asa", "UK", "2031-09-01", []string{"captured more than 92 days before 2031-09-01"}},
		{"germany", "EU", "2031-09-01", nil},
		{"ftc", "Germany", "2031-02-20", []string{`region is "Germany"`}},
		{"ftc", "worldwide", "2031-02-20", nil}, {"ftc", "", "2031-02-20", nil},
	} {
		a := mossgate.Audit()
		a.Product.Region, a.Issued = x.region, x.issued
		b, err := FindBody(x.body)
		if err != nil {
			t.Fatal(err)
		}
		l, err := Write(a, Options{To: ToAuthority, Body: &b})
		if err != nil {
			t.Fatal(err)
		}
		if len(l.Notes) != len(x.want) {
			t.Errorf("%s, %q, %s: notes %q", x.body, x.region, x.issued, l.Notes)
			continue
		}
		for i, w := range x.want {
			if !strings.Contains(l.Notes[i], w) {
				t.Errorf("%s, %q, %s: %q does not say %q", x.body, x.region, x.issued, l.Notes[i], w)
			}
		}
	}
}

// TestFirstPage: the dossier opens with at most five claims, contradicted ones first, each with what is asked of the trader,
// before the first numbered element; factors of coverage and guard bands stand in the annexes alone.
func TestFirstPage(t *testing.T) {
	text := joinedLines(textOf(t, mossgate.Audit(), Options{To: ToAuthority}))
	_, head, ok := strings.Cut(text, "In short")
	head, rest, ok2 := strings.Cut(head, "1 Who complains")
	if !ok || !ok2 {
		t.Fatal("no first page")
	}
	asked := strings.Count(head, "The trader is to be asked")
	if asked < 1 || asked > mostFirst || strings.Count(head, "Why it matters") != asked {
		t.Errorf("%d claims on the first page:\n%s", asked, head)
	}
	if m := regexp.MustCompile(`ν =|\bk = \d|guard band`).FindString(head); m != "" {
		t.Errorf("the first page holds %q", m)
	}
	seven, _, _ := strings.Cut(rest, "8 Evidence")
	if m := regexp.MustCompile(`ν =|\bk = \d|guard band`).FindString(seven); m != "" {
		t.Errorf("sections 1 to 7 hold %q", m)
	}
}

// TestSenderFromTheBook: who complains is taken from the test table, and not asked for again.
func TestSenderFromTheBook(t *testing.T) {
	a := mossgate.Audit()
	for i := range a.Test.Fields {
		if a.Test.Fields[i].Name == "tester" {
			a.Test.Fields = append(a.Test.Fields, a.Test.Fields[i], a.Test.Fields[i], a.Test.Fields[i])
			break
		}
	}
	n := len(a.Test.Fields)
	for i, f := range [][2]string{{"name", "Wuffelstow Advice"}, {"address", "4 Kettle Yard, Plumbrigg"}, {"contact", "desk@wuffelstow.example"}} {
		a.Test.Fields[n-3+i].Name, a.Test.Fields[n-3+i].Value = f[0], f[1]
	}
	for _, to := range []Addressee{ToAuthority, ToMaker} {
		text := joinedLines(textOf(t, a, Options{To: to}))
		for _, want := range []string{"Wuffelstow Advice", "4 Kettle Yard, Plumbrigg", "desk@wuffelstow.example"} {
			if !strings.Contains(text, want) {
				t.Errorf("%s: %q is missing", to, want)
			}
		}
		for _, blank := range []string{"name and address of the sender", "address, telephone, e-mail", "your name, address and contact"} {
			if strings.Contains(text, blank) {
				t.Errorf("%s: asks for %q", to, blank)
			}
		}
	}
}

// TestHolidays checks days of 2026 and 2027 against the calendars themselves: Easter Monday 2026-04-06 and 2027-03-29 (the
// computus, as in any almanac), German Unity Day (Unification Treaty Art. 2(2)), US Independence Day 2026, a Saturday, kept
// on Friday the 3rd (5 U.S.C. 6103(b)), the Swiss national day (Federal Constitution Art. 110(3)).
func TestHolidays(t *testing.T) {
	from := time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC)
	for _, x := range []struct{ country, day string }{{"de", "2026-04-06"}, {"DE", "2027-03-29"}, {"de", "2026-10-03"}, {"us", "2026-07-03"}, {"ch", "2026-08-01"}, {"fr", "2026-07-14"}, {"gb", "2026-12-28"}} {
		days, err := HolidaysOf(x.country, from)
		if err != nil || !slices.ContainsFunc(days, func(d time.Time) bool { return d.Format(time.DateOnly) == x.day }) {
			t.Errorf("%s does not keep %s (%v)", x.country, x.day, err)
		}
	}
	if got := keptOn(time.Date(2026, 12, 25, 0, 0, 0, 0, time.UTC)); len(got) < 15 {
		t.Errorf("25 December is kept in %v", got)
	}
	if got := keptOn(time.Date(2026, 11, 17, 0, 0, 0, 0, time.UTC)); len(got) > 0 {
		t.Errorf("17 November 2026 is kept in %v", got)
	}
	a := mossgate.Audit()
	a.Issued = "2026-12-11" // ten working days end on 25 December
	l, err := Write(a, Options{To: ToMaker})
	if err != nil || l.Deadline != "2026-12-25" || !slices.ContainsFunc(l.Notes, func(n string) bool { return strings.Contains(n, "a public holiday in A") }) {
		t.Error(l.Deadline, l.Notes, err)
	}
	days, err := HolidaysOf("de", from)
	if err != nil {
		t.Fatal(err)
	}
	if l, err = Write(a, Options{To: ToMaker, Holidays: days}); err != nil || l.Deadline != "2026-12-28" || len(l.Notes) > 0 {
		t.Error(l.Deadline, l.Notes, err)
	}
}

// TestEntriesAreDated: each body, duty and particular carries the day on which it was looked at, and one that rests on a
// document that was read names the document with its clause, article or section, or says that it is the body's own words. An
// entry that is older than a year says so in the letter.
func TestEntriesAreDated(t *testing.T) {
	clause := regexp.MustCompile(`\d|\bform\b|guidance|information for|site|Code section`)
	for _, b := range Bodies() {
		days := []Text{b.Checked}
		read := map[Text]string{b.Source: b.Mark}
		for _, d := range b.Duties {
			days, read[d.Source] = append(days, d.Checked), d.Mark
		}
		for _, p := range b.Particulars {
			days, read[p.Source] = append(days, p.Checked), p.Mark
		}
		for _, d := range days {
			if _, err := time.Parse(time.DateOnly, string(d)); err != nil {
				t.Errorf("%s: %v", b.ID, err)
			}
		}
		for s, m := range read {
			if m == "read" && !clause.MatchString(string(s)) {
				t.Errorf("%s: %q is marked read and names no clause", b.ID, s)
			}
		}
		if b.Remit == "" {
			t.Errorf("%s has no remit", b.ID)
		}
	}
	a := mossgate.Audit()
	b, err := FindBody("eu")
	if err != nil {
		t.Fatal(err)
	}
	a.Issued = "2027-06-01"
	fresh := textOf(t, a, Options{To: ToAuthority, Body: &b})
	a.Issued = "2028-01-02"
	old := textOf(t, a, Options{To: ToAuthority, Body: &b})
	if strings.Contains(joinedLines(fresh), "more than a year before this letter: check") || !strings.Contains(joinedLines(old), "more than a year before this letter: check") {
		t.Error("an entry's age is not told")
	}
	if strings.Contains(old, "ODR") || strings.Contains(old, "dispute resolution platform") {
		t.Error("names the closed platform")
	}
}
