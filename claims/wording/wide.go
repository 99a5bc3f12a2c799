package wording

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// wide is what is remembered of passages already read, for rules that compare statements of one text.
type wide struct {
	lastClass   code
	lastClassAt int
	classes     []place // fine classes, one for each name
	lives       []place // filter lives in months
	rate, air   flowAt
	life        []lifePart
}

type place struct {
	name       string
	low, high  float64
	key        string
	passage    int
	start, end int
}

type flowAt struct {
	place
	set bool
}

// lifePart is a months, hours or hours-a-day statement for FL-03.
type lifePart struct {
	place
	kind string
}

// numbers applies the rules over parsed quantities to one passage.
func (d *document) numbers(p *passage) {
	d.classCodes(p)
	d.percentages(p)
	d.areaAgainstRate(p)
	d.rateAgainstFlow(p)
}

func (d *document) at(p *passage, name string, q *quantity) place {
	s, e := p.quote(q.tok, q.end)
	return place{name, q.value, q.high, strings.Clone(p.folded.text[p.tokens[q.tok].lo:p.tokens[q.end-1].hi]), p.index, s, e}
}

// areaAgainstRate checks area × height × air changes = rate where one passage states all four (CV-07). Ten per cent is
// allowed for rounding of the four figures.
func (d *document) areaAgainstRate(p *passage) {
	of := map[string][]*quantity{}
	heights := []float64{d.ctx.Ceiling}
	for i := range p.quantities {
		q := &p.quantities[i]
		of[q.kind] = append(of[q.kind], q)
		if q.kind == "length" && (q.unit == "m" || q.unit == "ft") && d.tables.has(p.mask, "ceiling") {
			heights = append(heights, q.in("m"))
		}
	}
	if len(of["area"]) == 0 || len(of["ach"]) == 0 || len(of["flow"]) == 0 || slices.Max(heights) == 0 {
		return
	}
	// Of several areas, rates and so on, such as one a particle or a setting, any four may belong together.
	for _, area := range of["area"] {
		for _, ach := range of["ach"] {
			for _, h := range heights {
				for _, rate := range of["flow"] {
					if math.Abs(area.in("m2")*ach.value*h/rate.in("m3/h")-1) <= 0.10 {
						return
					}
				}
			}
		}
	}
	last := func(kind string) *quantity { return of[kind][len(of[kind])-1] }
	area, ach, rate := last("area"), last("ach"), last("flow")
	f := d.note(p, "CV-07", min(area.tok, rate.tok, ach.tok), max(area.end, rate.end, ach.end))
	f.Why = fmt.Sprintf("The area, the height and the air changes ask for %.0f m³/h; the rate given is %.0f m³/h.",
		area.in("m2")*ach.value*heights[len(heights)-1], rate.in("m3/h"))
}

// rateAgainstFlow compares a delivery rate with an air flow named in the same or a neighbouring passage (R23). Half a
// per cent is allowed for rounding.
func (d *document) rateAgainstFlow(p *passage) {
	w := &d.wide
	for i := range p.quantities {
		q := &p.quantities[i]
		if q.kind != "flow" {
			continue
		}
		kind := d.flowName(p, q)
		at := d.at(p, kind, q)
		at.low, at.high = q.in("m3/h"), q.in("m3/h")
		switch kind {
		case "rate":
			w.rate = flowAt{at, true}
		case "airflow":
			w.air = flowAt{at, true}
		default:
			continue
		}
		if w.rate.set && w.air.set && abs(w.rate.passage-w.air.passage) <= 1 && w.rate.low > w.air.low*1.005 {
			f := d.note(p, "R23", q.tok, q.end)
			f.Why = fmt.Sprintf("The delivery rate (%.0f m³/h) is larger than the air flow (%.0f m³/h); a cleaner cannot deliver more clean air than it moves.", w.rate.low, w.air.low)
		}
	}
}

// flowName tells by the nearest name before or just behind it whether a flow is a delivery rate or the fan's air flow.
func (d *document) flowName(p *passage, q *quantity) string {
	named := func(j int) string {
		for _, name := range []string{"rate", "airflow"} {
			for _, alt := range d.tables.sets[name].alts {
				if matchAlt(p.tokens, alt, j) >= 0 {
					return name
				}
			}
		}
		return ""
	}
	for j := q.tok - 1; j >= 0 && j >= q.tok-7; j-- {
		if n := named(j); n != "" {
			return n
		}
	}
	for j := q.end; j < len(p.tokens) && j <= q.end+3 && p.tokens[j].kind != markToken; j++ {
		if n := named(j); n != "" {
			return n
		}
	}
	return ""
}

func abs(n int) int { return max(n, -n) }

// gather remembers what later passages and the whole text are compared with.
func (d *document) gather(p *passage) {
	t, w := d.tables, &d.wide
	loose := !t.has(p.mask, "choice") && !t.has(p.mask, "prefilter")
	for _, c := range p.codes {
		if !c.fine() || c.grade == nil {
			continue
		}
		w.lastClass, w.lastClassAt = c, p.index
		if loose && !known(w.classes, c.grade.Class) {
			s, e := p.quote(c.tok, c.end)
			w.classes = append(w.classes, place{c.grade.Class, c.grade.Integral, 0, c.name, p.index, s, e})
		}
	}
	if len(p.codes) > 1 {
		w.lastClass = code{} // which of them the next passage means is open
	}
	if !t.has(p.mask, "life") && d.ctx.Attribute != "filter life" {
		return
	}
	for i := range p.quantities {
		q := &p.quantities[i]
		switch q.kind {
		case "months", "hours", "hpd":
			at := d.at(p, q.kind, q)
			if len(w.life) < 64 {
				w.life = append(w.life, lifePart{at, q.kind})
			}
			at.name = ""
			if t.has(p.mask, "hepa") {
				at.name = "hepa" // a life of that element alone
			}
			if q.kind == "months" && loose && !t.has(p.mask, "layer") && !t.has(p.mask, "guarantee") && len(w.lives) < 64 {
				w.lives = append(w.lives, at)
			}
		}
	}
}

func known(list []place, name string) bool {
	for _, x := range list {
		if x.name == name {
			return true
		}
	}
	return false
}

// wholeText applies the rules that compare places of one text: FG-23, FL-03 and FL-06.
func (d *document) wholeText() {
	w := &d.wide
	for k := 1; k < len(w.classes); k++ {
		if a, b := w.classes[0], w.classes[k]; a.low != b.low && a.passage != b.passage {
			d.noteAt("FG-23", b).Why = fmt.Sprintf("%s here and %s elsewhere: a reader cannot know which grade applies.", b.key, a.key)
			break
		}
	}
	if len(w.classes) > 0 {
		for _, h := range d.hits {
			if h.term != nil && h.term.Rule == "FG-04" && h.passage != w.classes[0].passage {
				at := place{passage: h.passage, start: h.start, end: h.end, key: h.key}
				d.noteAt("FG-23", at).Why = fmt.Sprintf("%q here and %s elsewhere: a reader cannot know which grade applies.", d.text[h.start:h.end], w.classes[0].key)
				break
			}
		}
	}
	for k := 1; k < len(w.lives); k++ {
		i := slices.IndexFunc(w.lives, func(p place) bool { return p.name == w.lives[k].name }) // of one element
		if a, b := w.lives[i], w.lives[k]; b.low > a.high*1.05 || b.high < a.low*0.95 {
			d.noteAt("FL-06", b).Why = fmt.Sprintf("%s months here and %s months elsewhere: a reader cannot know which life applies.", show(b.low), show(a.low))
			break
		}
	}
	d.monthsAgainstHours()
}

// monthsAgainstHours checks months = hours / (hours a day × 365/12) where a text states them side by side (FL-03). Five
// per cent are allowed, and rounding to whole months.
func (d *document) monthsAgainstHours() {
	var months, hours, hpd *lifePart
	for i := range d.wide.life {
		x := &d.wide.life[i]
		switch x.kind {
		case "months":
			months = x
		case "hours":
			if x.low >= 100 {
				hours = x
			}
		case "hpd":
			hpd = x
		}
		if months == nil || hours == nil || abs(months.passage-hours.passage) > 1 || x.kind == "hpd" && abs(hours.passage-x.passage) > 1 {
			continue
		}
		perDay := hours.low / (months.low * 365 / 12)
		switch {
		case hpd != nil && abs(hpd.passage-hours.passage) <= 1:
			want := hours.low / (hpd.low * 365 / 12)
			if math.Abs(want-months.low) > 0.05*months.low && math.Round(want) != months.low && !(months.high > months.low && want >= months.low && want <= months.high) {
				d.noteAt("FL-03", months.place).Why = fmt.Sprintf("%s hours at %s hours a day last %.1f months, not %s: that would be %.1f hours a day.", show(hours.low), show(hpd.low), want, show(months.low), perDay)
				return
			}
		case perDay > 24*1.05 && i == len(d.wide.life)-1:
			d.noteAt("FL-03", months.place).Why = fmt.Sprintf("%s hours in %s months would be %.1f hours a day.", show(hours.low), show(months.low), perDay)
			return
		}
	}
}
