package lab

import (
	"math"
	"strings"

	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/measure/unit"
)

// loading reads the loading table: the delivery rate after so many hours, stated or as the name of a decay run.
func (r *reader) loading() {
	var ps []measure.LoadPoint
	for _, row := range rows[loadingRow](r, "loading", "hours") {
		if row.Hours.Bad || row.Rate.Bad || row.Run.Bad {
			continue
		}
		if !row.Hours.Given {
			r.ps.Add(at(row.Hours.Place, row.At.Place), "", "blank; expected the hours that the filter had run")
			continue
		}
		p := measure.LoadPoint{Hours: r.convert(row.Hours, "", "h", "h"), Dose: math.NaN(), U: math.NaN(), Run: row.Run.Value, Place: row.At.Place.String()}
		if row.Dose.Given {
			p.Dose = r.convert(row.Dose, "", "mg", "g") * 1000
		}
		switch {
		case row.Rate.Given && row.Run.Value != "":
			r.ps.Add(row.At.Place, "", "expected a delivery rate or a run; found both")
			continue
		case row.Rate.Given:
			u := r.oneUnit(row.Rate, row.Unit, "m3/h")
			p.Rate = r.convert(row.Rate, u, "", "m3/h")
			p.U = r.std(row.PM, row.K, p.Rate, u, "m3/h")
		case row.Run.Value != "":
			var ok bool
			if p.Rate, p.U, ok = r.rateOfRun(row.Run); !ok {
				continue
			}
		default:
			r.ps.Add(row.At.Place, "", "expected a delivery rate with its unit, or the name of a decay run; found neither")
			continue
		}
		ps = append(ps, p)
	}
	if len(ps) > 0 && len(r.ps) == 0 {
		r.keep(measure.ReduceLoading(ps))
	}
}

// loadedRuns names the decay runs that stand for a filter which has run for some hours; they are no part of the rate of
// the unit as bought.
func (r *reader) loadedRuns() map[string]bool {
	out := map[string]bool{}
	t := r.book.Table("loading")
	if t == nil {
		return out
	}
	rows, _, _ := sheet.Decode[loadingRow](t)
	for _, row := range rows {
		if row.Run.Value != "" && row.Hours.Given && row.Hours.Value > 0 {
			out[sheet.FoldName(row.Run.Value)] = true
		}
	}
	return out
}

// rateOfRun is the delivery rate of a single decay run and its standard uncertainty without the parts that all runs of a
// room share (its volume, the method), which cancel in a decline.
func (r *reader) rateOfRun(name sheet.Text) (rate, u float64, ok bool) {
	var some []measure.DecayRun
	found := false
	for _, d := range r.runs {
		switch {
		case sheet.FoldName(d.Name) == sheet.FoldName(name.Value) && d.State == "on":
			some, found = append(some, d), true
		case d.State == "off":
			some = append(some, d)
		}
	}
	if !found && r.planned[sheet.FoldName(name.Value)] {
		return 0, 0, false // its row or its log is at fault, which is said there
	}
	if !found {
		r.ps.Add(name.Place, "", "found %q; the decay table has no run of that name with the unit on", name.Value)
		return 0, 0, false
	}
	if r.out.Room == nil {
		return 0, 0, false // which is said of the room table
	}
	ms, _ := measure.DeliveryRates(some, r.options())
	if len(ms) != 1 {
		r.lost(name.Place, sheet.LostRow, "run %q could not be reduced; the row was left out", name.Value)
		return 0, 0, false
	}
	s := 0.0
	for _, c := range ms[0].Budget {
		if c.Name != "room volume" && !strings.HasPrefix(c.Name, "room,") && !strings.Contains(c.Name, "method allowance") {
			s = math.Hypot(s, c.U)
		}
	}
	return ms[0].Value, s, true
}

func (r *reader) weights() {
	for _, row := range rows[weightRow](r, "weights", "item", "grams") {
		if sheet.FoldName(row.Item.Value) != "carbon" {
			r.lost(row.Item.Place, sheet.LostRow, "item %q is not carbon; it was not used", row.Item.Value)
			continue
		}
		if row.Grams.Bad {
			continue
		}
		if !row.Grams.Given || row.Grams.Value < 0 {
			r.ps.Add(at(row.Grams.Place, row.At.Place), "", "found %q; expected a mass, 0 or more", row.Grams.Text)
			continue
		}
		grams := r.convert(row.Grams, "", "g", "g")
		r.weighings = append(r.weighings, measure.Weighing{Grams: grams, U: r.std(row.PM, row.K, grams, row.Grams.Unit, "g"), Place: row.At.Place.String()})
	}
	if len(r.weighings) > 0 && len(r.ps) == 0 {
		ms, bad := measure.ReduceWeighings(r.weighings)
		r.keep(ms, bad)
	}
}

func (r *reader) costs() {
	for _, row := range rows[costRow](r, "costs", "item", "value") {
		if row.Value.Bad {
			continue
		}
		if !row.Value.Given || row.Value.Low < 0 {
			r.ps.Add(at(row.Value.Place, row.At.Place), "", "found %q; expected a number or range, 0 or more", row.Value.Text)
			continue
		}
		item := sheet.FoldName(row.Item.Value)
		if u, known := unit.Lookup(row.Value.Unit); known && !(strings.HasPrefix(item, "hours") && u.Name == "h") {
			r.ps.Add(row.Value.Place, "", "found %q, in %q; expected a plain number: a price, hours per day, or filters per year", row.Value.Text, row.Value.Unit)
			continue
		}
		if strings.HasPrefix(item, "hours") && row.Value.High > 24 {
			r.ps.Add(row.Value.Place, "", "found %q hours per day; a day has 24", row.Value.Text)
		}
		r.out.Costs = append(r.out.Costs, Cost{Item: item, Low: row.Value.Low, High: row.Value.High, Currency: row.Currency.Value, Option: row.Option.Value, Place: row.At.Place})
	}
}

// dimensions of the attributes that a tolerance may be given for, as base units.
var toleranceUnits = map[string]string{"delivery rate": "m3/h", "noise": "dB(A)", "power": "W", "standby power": "W", "annual energy": "kWh",
	"filter efficiency": "%", "filter life": "h", "room area": "m2", "clean time": "min", "carbon mass": "g", "ozone": "ppb"}

func (r *reader) tolerances() {
	seen := map[string]sheet.Place{}
	for _, row := range rows[toleranceRow](r, "tolerances", "attribute", "tolerance", "unit") {
		a := sheet.FoldName(row.Attribute.Value)
		base, ok := toleranceUnits[a]
		if !ok {
			r.ps.Add(at(row.Attribute.Place, row.At.Place), "", "found %q; a tolerance holds for an attribute with a number, such as delivery rate", row.Attribute.Value)
			continue
		}
		if first, dup := seen[a]; dup {
			r.ps.Add(row.Attribute.Place, "", "a tolerance for %s stands at %s too; keep one", a, first)
		}
		seen[a] = row.At.Place
		if row.Tolerance.Bad || row.Unit.Bad {
			continue
		}
		if !row.Tolerance.Given || row.Tolerance.Value < 0 {
			r.ps.Add(at(row.Tolerance.Place, row.At.Place), "", "found %q; expected a number, 0 or more", row.Tolerance.Text)
			continue
		}
		if v := row.Tolerance.Value; v > 100 && (unit.Same(row.Unit.Value, "%") || row.Unit.Value == "" && unit.Same(row.Tolerance.Unit, "%")) {
			r.ps.Add(at(row.Tolerance.Place, row.At.Place), "", "found a tolerance of %q %%; expected 0 to 100 %%", row.Tolerance.Text)
			continue
		}
		t := Tolerance{Attribute: a, Value: row.Tolerance.Value, Unit: base, Source: row.Source.Value, Place: row.At.Place}
		text := row.Unit.Value
		if row.Tolerance.InCell && unit.Same(row.Tolerance.Unit, "%") && text != "" && !unit.Same(text, "%") {
			r.note(row.Tolerance.Place, "found %q beside the unit %q: it was taken as %s of the claim", row.Tolerance.Text, text, row.Tolerance.Text)
			text = "%"
		} else {
			text = r.oneUnit(row.Tolerance, row.Unit, "")
		}
		u, known := unit.Lookup(text)
		switch {
		case known && u.Dimension == unit.Ratio && base != "%":
			t.Unit = "%"
			t.Value, _ = unit.Convert(t.Value, u.Name, "%")
		default:
			v, err := unit.Convert(row.Tolerance.Value, text, base)
			if err != nil {
				r.ps.Add(at(row.Unit.Place, row.At.Place), "", "found %q; expected %% of the claim, or a unit of %s such as %s", text, a, base)
				continue
			}
			t.Value = v
		}
		r.out.Tolerances = append(r.out.Tolerances, t)
	}
}

// room reads the room table: length, width and height, or volume.
func (r *reader) room() {
	got := map[string]measure.Dim{}
	before := len(r.ps)
	defer func() { r.badRoom = len(r.ps) > before }()
	for _, row := range rows[roomRow](r, "room", "item", "value") {
		item := sheet.FoldName(row.Item.Value)
		base := "m"
		switch item {
		case "length", "width", "height":
		case "volume":
			base = "m3"
		case "reverberation time":
			base = "s"
		default:
			r.lost(row.Item.Place, sheet.LostRow, "item %q is not length, width, height, volume or reverberation time; it was not used", row.Item.Value)
			continue
		}
		if row.Value.Bad {
			continue
		}
		if !row.Value.Given || row.Value.Value <= 0 {
			r.ps.Add(at(row.Value.Place, row.At.Place), "", "found %q; expected a %s above 0", row.Value.Text, item)
			continue
		}
		if _, dup := got[item]; dup {
			r.ps.Add(row.Item.Place, "", "item %s stands twice; keep one", item)
		}
		sound := len(r.ps)
		unitText := r.oneUnit(row.Value, row.Unit, base)
		f := factor(unitText, "", "", base)
		if math.IsNaN(f) {
			place := at(row.Unit.Place, row.At.Place)
			if row.Unit.Value == "" {
				place = row.Value.Place
			}
			r.ps.Add(place, "", "found %q; expected a unit such as %s", unitText, base)
			continue
		}
		got[item] = measure.Dim{Value: row.Value.Value * f, U: r.std(row.PM, row.K, row.Value.Value*f, unitText, base)}
		if len(r.ps) == sound {
			r.plausible(row, item, got[item])
		}
		if x := got[item]; item == "reverberation time" && (x.Value < 0.05 || x.Value > 12) {
			r.ps.Add(row.Value.Place, "", "found %q; a room has a reverberation time of 0.05 to 12 s", row.Value.Text)
		}
	}
	if t, ok := got["reverberation time"]; ok {
		r.reverberation = measure.SoundRoom{Time: t.Value, TimeU: t.U}
		delete(got, "reverberation time")
	}
	if len(got) == 0 || len(r.ps) > before {
		return
	}
	v, u, text, err := measure.RoomDims{Length: got["length"], Width: got["width"], Height: got["height"], Volume: got["volume"]}.VolumeFrom()
	if err != nil {
		r.ps.Add(r.book.Table("room").Place, "", "%v; found %s", err, orNone(keys(got)))
		return
	}
	r.out.Room = &Room{Volume: v, U: u, Text: text}
}

// The sides of a room that a book may state, in m, and its volume in m3 (judgement): beyond them a unit or a decimal point is
// wrong, and a rate would be wrong with it.
const (
	leastSide, mostSide     = 0.3, 60.0
	leastVolume, mostVolume = 0.1, 20_000.0
	mostDoubt               = 0.3 // the largest ±, of its value
)

// plausible refuses a room that none is, and an uncertainty larger than its value.
func (r *reader) plausible(row roomRow, item string, d measure.Dim) {
	switch {
	case item == "reverberation time":
	case item == "volume" && (d.Value < leastVolume || d.Value > mostVolume):
		r.ps.Add(row.Value.Place, "see the unit and the decimal sign", "found %q: a volume of %.4g m3; expected %g to %g m3", row.Value.Text, d.Value, leastVolume, mostVolume)
	case item != "volume" && (d.Value < leastSide || d.Value > mostSide):
		r.ps.Add(row.Value.Place, "see the unit and the decimal sign", "found %q: a %s of %.4g m; expected %g to %g m", row.Value.Text, item, d.Value, leastSide, mostSide)
	}
	if 2*d.U > mostDoubt*d.Value {
		r.ps.Add(row.PM.Place, "see the decimal sign; the columns value and ± may be swapped", "found %q for a %s of %q; expected an uncertainty of at most %g %% of it", row.PM.Text, item, row.Value.Text, 100*mostDoubt)
	}
}

func keys(m map[string]measure.Dim) []string {
	var out []string
	for _, k := range []string{"length", "width", "height", "volume"} {
		if _, ok := m[k]; ok {
			out = append(out, k)
		}
	}
	return out
}
