package listing

import (
	"fmt"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure/unit"
)

var (
	soundPower    = lazily(`(?i)sound[- ]power|schallleistung\w*|puissance acoustique|potencia sonora|potenza sonora|\bL_?WA\b`)
	soundPressure = lazily(`(?i)sound[- ]pressure|schalldruck\w*|pression acoustique|presión sonora|pressione sonora|\bL_?pA\b`)
	standardName  = lazily(`\b(?:EN ISO|DIN EN|BS EN|EN|ISO|IEC|GB/T|ANSI/AHAM AC|ANSI|JIS|JEM|ASHRAE|UL|NF|DIN)[ -]?[A-Z]{0,2}-?\d{3,5}(?:[-.]\d+)*(?::\d{4})?|\bASHRAE 52\.2\b|\bIEST-RP-CC\d{3}(?:\.\d)?\b|\b(?:ANSI/)?(?:AHAM )?AC-1(?:[-:]\d{4})?\b`)
	mpps          = lazily(`(?i)\bMPPS\b|most penetrating(?: particle)?(?: size)?|abscheidegradminimum|plus pénétrantes?`)
	continuous    = lazily(`(?i)\b24 ?/ ?7\b|\bround the clock\b|\brund um die uhr\b|\b24 ?h ?/ ?24\b`)
)

// conditions gives the claims of a sentence the conditions that it states: air changes, ceiling, hours a day, distance,
// room, standard, sound power or pressure.
func (r *reader) conditions(s *sentence, topics []topic, made []int) {
	for i := range s.qs {
		q := &s.qs[i]
		switch {
		case q.dim() == unit.Rate && q.low() > 0 && q.high()*q.unit.Factor <= 100:
			if !r.give(s, i, s.areasOf(i, made, r.e.Claims), plain(roundTo(q.low()*q.unit.Factor, 6))+" ach", claims.RoomArea) {
				r.stated(s, i, "air changes", "1/h")
			}
		case q.dim() == hoursADay.Dimension && q.high() <= 24:
			r.give(s, i, made, plain(q.high())+" h/day", claims.FilterLife, claims.AnnualEnergy)
		case q.dim() == unit.Length && !topics[i].skip && len(q.values) == 1:
			r.length(s, i, topics[i], made)
		case q.dim() == unit.Volume:
			r.give(s, i, made, fmt.Sprintf("%s %s", plain(q.low()), q.unit.Name), claims.CleanTime)
		case s.isOfTime(i) && q.dim() == unit.Area:
			r.give(s, i, made, fmt.Sprintf("%s %s", plain(q.high()), q.unit.Name), claims.CleanTime)
		case topics[i].name == conditionOfTime && q.dim() == unit.Ratio:
			r.give(s, i, made, plain(q.low())+" %", claims.CleanTime)
		}
	}
	for _, k := range made {
		r.words(s, &r.e.Claims[k])
	}
}

// isOfTime reports whether quantity i is the room or the share that a clean time is stated for.
func (s *sentence) isOfTime(i int) bool {
	_, ok := s.ofTime[i]
	return ok
}

func (r *reader) length(s *sentence, i int, of topic, made []int) {
	q := &s.qs[i]
	m := q.low() * q.unit.Factor
	text := fmt.Sprintf("%s %s", plain(q.low()), q.unit.Name)
	switch {
	case of.name == "ceiling" && m >= 1.5 && m <= 10:
		areas := s.areasOf(i, made, r.e.Claims)
		if !r.give(s, i, areas, text+" ceiling", claims.RoomArea) {
			r.give(s, i, made, text+" ceiling", claims.CleanTime)
		} else if of.at != nil && of.at.start >= q.last() && of.at.start-q.last() <= 4 {
			for _, k := range areas { // "a 2.4 m ceiling" is quoted to its end
				if d := &r.e.Claims[k]; d.Claim.Attribute == claims.RoomArea && d.End >= q.last() {
					d.include(of.at)
				}
			}
		}
	case of.name == "distance" && m >= 0.1 && m <= 10:
		r.give(s, i, made, text, claims.Noise)
	}
}

// give adds a condition to the claims of the sentence that are of one of the attributes; false where there is none.
func (r *reader) give(s *sentence, i int, made []int, part string, attributes ...claims.Attribute) bool {
	given := false
	for _, k := range made {
		d := &r.e.Claims[k]
		if of, tied := s.ofTime[i]; tied && d.qi != of || s.qs[i].dim() == unit.Length && !s.reaches(i, k, made, r.e.Claims) {
			continue
		}
		for _, a := range attributes {
			if d.Claim.Attribute == a {
				d.addBasis(part)
				d.include(&hit{start: s.qs[i].start, end: s.qs[i].last()})
				given = true
			}
		}
	}
	return given
}

// areasOf is made without the areas that the condition i is not stated for: of several areas it belongs to the one before
// it, or to the one after it where the words part it from the one before and not from the one after.
func (s *sentence) areasOf(i int, made []int, all []Said) (out []int) {
	before, after := -1, -1
	for _, m := range made {
		switch {
		case all[m].Claim.Attribute != claims.RoomArea:
		case all[m].qi < i:
			before = all[m].qi
		case after < 0:
			after = all[m].qi
		}
	}
	of := before
	if before < 0 || after >= 0 && s.breaks(s.qs[before].last(), s.qs[i].start) && !s.breaks(s.qs[i].last(), s.qs[after].start) {
		of = after
	}
	for _, m := range made {
		if all[m].Claim.Attribute != claims.RoomArea || all[m].qi == of {
			out = append(out, m)
		}
	}
	return out
}

// reaches reports whether a length is stated for claim k: one that stands among several levels belongs to the level
// before it, one after them all to each.
func (s *sentence) reaches(i, k int, made []int, all []Said) bool {
	before, after := -1, false
	for _, m := range made {
		if all[m].Claim.Attribute != claims.Noise {
			continue
		}
		if all[m].qi < i {
			before = m
		} else {
			after = true
		}
	}
	return all[k].Claim.Attribute != claims.Noise || !after || before < 0 || k == before
}

// words adds the conditions that stand as words.
func (r *reader) words(s *sentence, d *Said) {
	at := func(loc []int) {
		if loc[0]-d.End < 80 && d.Start-loc[1] < 120 {
			d.include(&hit{start: loc[0], end: loc[1]})
		}
	}
	switch d.Claim.Attribute {
	case claims.Noise:
		if loc := soundPower().FindStringIndex(s.text); loc != nil {
			d.addBasis("sound power")
			at(loc)
		} else if loc := soundPressure().FindStringIndex(s.text); loc != nil {
			d.addBasis("sound pressure")
			at(loc)
		}
	case claims.FilterLife, claims.AnnualEnergy:
		if d.Claim.Attribute == claims.FilterLife {
			r.endOf(s, d)
			if e := elementOf(s.text[:s.qs[d.qi].start]); e != "" {
				d.addBasis("for the " + e)
			}
		}
		if loc := continuous().FindStringIndex(s.text); loc != nil {
			d.addBasis("24 h/day")
			at(loc)
		}
	case claims.FilterEfficiency, claims.DeliveryRate:
		if loc := mpps().FindStringIndex(s.text); loc != nil && d.Claim.Attribute == claims.FilterEfficiency {
			at(loc)
		}
		if loc := standardName().FindStringIndex(s.text); loc != nil {
			d.addBasis(s.text[loc[0]:loc[1]])
			at(loc)
		}
	}
}

func (d *Said) addBasis(part string) {
	text := d.Claim.Basis.Text
	if text != "" {
		text += "; "
	}
	for _, p := range d.Claim.Basis.Parts {
		if p == part {
			return
		}
	}
	d.Claim.Basis = claims.ParseBasis(text + part)
}

// finish sets the quote, its place and the sentence that says what was understood.
func (r *reader) finish(s *sentence, d *Said) {
	d.Start, d.End = r.widen(s, d.Start, d.End)
	d.Start, d.End = d.Start+s.start, d.End+s.start
	d.Quote = r.t.Body[d.Start:d.End]
	d.Claim.Wording = d.Quote
	d.Line, d.Col = r.t.At(d.Start)
	d.Claim.Place = r.t.Place(d.Start)
	d.Claim.Source = fmt.Sprintf("listing, %s:%d:%d", r.t.Name, d.Line, d.Col)
	d.running()
	d.Understood = understood(d)
}

// running turns a life by the calendar into running hours once the hours a day are known: the contract's claims table means
// running hours wherever the listing says how many a day.
func (d *Said) running() {
	c := &d.Claim
	if c.Attribute != claims.FilterLife || !c.Calendar || c.Basis.HoursPerDay <= 0 || c.Claimed == nil || d.ran {
		return
	}
	d.ran = true
	c.Claimed.Low, c.Claimed.High = c.Claimed.Low*c.Basis.HoursPerDay/24, c.Claimed.High*c.Basis.HoursPerDay/24
	c.Notes = append(c.Notes, fmt.Sprintf("%s at %g h/day are %.0f running hours", c.Claimed.Text, c.Basis.HoursPerDay, c.Claimed.High))
}

// widen closes a bracket that the quote opened, and opens one that it closed.
func (r *reader) widen(s *sentence, start, end int) (int, int) {
	q := s.text[start:end]
	if strings.Count(q, "(") > strings.Count(q, ")") {
		if i := strings.IndexByte(s.text[end:], ')'); i >= 0 && i < 40 {
			end += i + 1
		}
	} else if strings.Count(q, "（") > strings.Count(q, "）") {
		if i := strings.Index(s.text[end:], "）"); i >= 0 && i < 40 {
			end += i + len("）")
		}
	} else if strings.Count(q, ")") > strings.Count(q, "(") {
		if i := strings.LastIndexByte(s.text[:start], '('); i >= 0 && start-i < 40 {
			start = i
		}
	}
	return start, end
}

// understood says a claim in plain words.
func understood(d *Said) string {
	c := &d.Claim
	if c.Claimed == nil {
		return string(c.Attribute) + ": the words alone"
	}
	var b strings.Builder
	digits := 2
	if c.Claimed.Unit == "%" {
		digits = 9 // nines are never rounded up
	}
	lo, hi := plain(roundTo(c.Claimed.Low, digits)), plain(roundTo(c.Claimed.High, digits))
	fmt.Fprintf(&b, "%s: %s ", c.Attribute, c.Bound)
	if lo == hi {
		b.WriteString(hi)
	} else {
		b.WriteString(lo + " to " + hi)
	}
	b.WriteString(" " + c.Claimed.Unit)
	if c.Calendar {
		if c.Basis.HoursPerDay > 0 {
			fmt.Fprintf(&b, " of running (%s)", c.Claimed.Text)
		} else {
			fmt.Fprintf(&b, " by the calendar (%s)", c.Claimed.Text)
		}
	}
	if c.Particle != "" {
		b.WriteString(", " + c.Particle)
	}
	if takesSetting(c.Attribute) {
		switch {
		case c.Setting == "" && !settingMatters(c.Attribute):
		case c.Setting == "":
			b.WriteString(", at the highest setting (none stated)")
		case strings.EqualFold(c.Setting, "max"):
			b.WriteString(", at the highest setting")
		case c.Setting == "lowest":
			b.WriteString(", at the lowest setting")
		default:
			fmt.Fprintf(&b, ", at the setting %q", c.Setting)
		}
	}
	for _, p := range c.Basis.Parts {
		b.WriteString(", " + p)
	}
	if !c.BoundGiven {
		b.WriteString(" (bound not stated)")
	}
	return b.String()
}
