package lab

import (
	"math"
	"strconv"
	"strings"

	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/measure/unit"
)

// decay reads the decay table, its logs, and reduces them to delivery rates.
func (r *reader) decay() {
	table := rows[decayRow](r, "decay", "run", "state", "log", "value")
	var kept []decayRow
	var asks []sheet.LogRequest
	r.planned = map[string]bool{}
	for _, row := range table {
		r.decayRow(row)
		r.planned[sheet.FoldName(row.Run.Value)] = true
		kept = append(kept, row)
		asks = append(asks, sheet.LogRequest{Path: row.Log.Value, Time: row.Time.Value, Value: row.Value.Value, Place: row.Log.Place, Thin: true, SkipText: r.skip})
	}
	if len(kept) == 0 {
		return
	}
	series := r.series(asks)
	var uses []use
	for i, row := range kept {
		s := series[i]
		if s == nil {
			continue
		}
		d := r.run(row, s)
		uses = append(uses, use{row: "run " + d.Name, group: sheet.FoldName(d.Setting), part: d.State, kind: d.Particle, at: row.Log.Place, log: row.Log.Value, series: s, from: d.From, to: d.To})
		r.runs = append(r.runs, d.Parts()...)
	}
	r.sameLogs(uses)
	if r.out.Room == nil && r.badRoom {
		return
	}
	if r.out.Room == nil {
		r.ps.Add(sheet.Place{Book: r.book.Name()}, "give length, width and height, or volume, with their ±", "the decay table needs the room table: a delivery rate is a volume times a decay rate")
		return
	}
	if len(r.ps) > 0 {
		return
	}
	loaded := r.loadedRuns()
	var fresh []measure.DecayRun
	for _, d := range r.runs {
		if !loaded[sheet.FoldName(d.Name)] {
			fresh = append(fresh, d)
		}
	}
	o := r.options()
	if len(r.ps) > 0 {
		return
	}
	ms, bad := measure.DeliveryRates(fresh, o)
	r.out.Measurements = append(r.out.Measurements, ms...)
	r.out.Skipped = append(r.out.Skipped, bad...)
}

// options are what all decay runs of the case share.
func (r *reader) options() measure.DecayOptions {
	return measure.DecayOptions{Volume: r.out.Room.Volume, VolumeU: r.out.Room.U, Method: r.out.Field("method"), MethodU: r.allowance(),
		Standard: r.out.Field("standard"), Fan: r.out.Field("mixing fan"), Planned: r.plan, Rooms: r.rooms}
}

// decayRow checks the fixed words of a row.
func (r *reader) decayRow(row decayRow) {
	switch state := sheet.FoldName(row.State.Value); {
	case state == "on", state == "off", state == "both", row.State.Bad:
	default:
		r.ps.Add(at(row.State.Place, row.At.Place), "", "found %q; expected off (natural decay), on (unit running), or both (one log that holds first the one, then the other)", row.State.Value)
	}
	if _, ok := measure.Particle(row.Particle.Value); !ok {
		r.ps.Add(row.Particle.Place, "", "found %q; expected %s, or a size such as 0.3 um", row.Particle.Value, strings.Join(measure.Particles, ", "))
	}
	if row.Log.Value == "" && !row.Log.Bad {
		r.ps.Add(at(row.Log.Place, row.At.Place), "", "blank; expected a file of the case or a sheet of the lab workbook")
	}
	r.meter(row.Instrument)
	switch x := sheet.FoldName(row.Exclude.Value); {
	case yes(x) && strings.TrimSpace(row.Why.Value) == "":
		r.ps.Add(at(row.Why.Place, row.Exclude.Place), "", "blank beside exclude %q; expected the cause for which the run is left out, by the rule written before the test", row.Exclude.Value)
	case !yes(x) && x != "" && x != "no":
		r.ps.Add(row.Exclude.Place, "", "found %q; expected yes, or a blank for a run that counts", row.Exclude.Value)
	}
	if row.BackgroundPM.Given && !row.Background.Given && !row.Background.Bad {
		r.ps.Add(row.BackgroundPM.Place, "", "found %q without a background", row.BackgroundPM.Text)
	}
}

// at is the cell's place, or the row's where the cell has none.
func at(cell, row sheet.Place) sheet.Place {
	if cell.Book == "" {
		return row
	}
	return cell
}

// run turns a row and its log into a decay run.
func (r *reader) run(row decayRow, s *sheet.Series) measure.DecayRun {
	particle, _ := measure.Particle(row.Particle.Value)
	d := measure.DecayRun{Name: row.Run.Value, State: sheet.FoldName(row.State.Value), Setting: row.Setting.Value, Particle: particle,
		T: s.T, C: s.V, From: r.moment(s, row.From), To: r.moment(s, row.To), Background: math.NaN(), BackgroundU: math.NaN(),
		Log: s.Path + "\x00" + sheet.FoldName(s.Value), Column: s.Value, ValueUnit: s.ValueUnit, Clock: s.At, Day: day(s), Place: row.At.Place.String()}
	if s.Dated && s.TimeKind != sheet.Elapsed {
		d.Start = s.Start
	}
	if row.Background.Given {
		d.Background, d.BackgroundU = r.background(row, s)
	}
	if yes(row.Exclude.Value) {
		d.Exclude = row.Why.Value
	}
	d.Instrument = r.meters[sheet.FoldName(row.Instrument.Value)].ID
	r.lostReadings(row.At.Place, s)
	for _, n := range s.Notes {
		d.Notes = append(d.Notes, measure.Warning{Flag: "log", Text: n})
	}
	if s.ClockNote != "" {
		d.Notes = append(d.Notes, measure.Warning{Flag: measure.ClockStep, Text: s.ClockNote})
	}
	return d
}

// background is the sensor's reading in clean air and its standard uncertainty, in the unit of the log's column.
func (r *reader) background(row decayRow, s *sheet.Series) (value, u float64) {
	n, value := row.Background, row.Background.Value
	if n.Unit != "" && s.ValueUnit != "" && !unit.Same(n.Unit, s.ValueUnit) {
		v, err := unit.Convert(n.Value, n.Unit, s.ValueUnit)
		if err != nil {
			r.ps.Add(n.Place, "", "the background is in %q and the log's column %q in %q; expected one unit for both", n.Unit, s.Value, s.ValueUnit)
			return math.NaN(), math.NaN()
		}
		value = v
	} else if n.Unit != "" && s.ValueUnit == "" && unit.Same(n.Unit, "%") {
		r.ps.Add(n.Place, "", "found %q; expected the sensor's reading in clean air, in the unit of the log", n.Text)
	}
	base := s.ValueUnit
	if base == "" {
		base = n.Unit
	}
	if base == "" && row.BackgroundPM.Unit != "" && !unit.Same(row.BackgroundPM.Unit, "%") {
		base = row.BackgroundPM.Unit
	}
	return value, r.std(row.BackgroundPM, row.K, value, n.Unit, base)
}

// day is the day on which an absolute log starts, in days since 1970; NaN for elapsed times.
func day(s *sheet.Series) float64 {
	if s.TimeKind == sheet.Elapsed || !s.Dated {
		return math.NaN()
	}
	return float64(s.Start.Unix()) / 86400
}

// moment reads a from or to cell; NaN where it is blank.
func (r *reader) moment(s *sheet.Series, c sheet.Text) float64 {
	if c.Value == "" {
		return math.NaN()
	}
	t, err := s.Seconds(c)
	if err != nil {
		r.ps.Add(c.Place, "", "%v", err)
		return math.NaN()
	}
	return t
}

// allowance reads the test table's method allowance, a relative standard uncertainty such as "3 %"; NaN takes the
// default for the method.
func (r *reader) allowance() float64 {
	text := strings.TrimSpace(r.out.Field("method allowance"))
	if text == "" {
		return math.NaN()
	}
	x, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(strings.TrimSuffix(text, "%")), ",", "."), 64)
	if err != nil || !strings.HasSuffix(text, "%") || x < 0 || x > 50 {
		t := r.book.Table("test")
		r.ps.Add(t.Place, "", "field method allowance: found %q; expected a percentage such as 3 %%, the relative standard uncertainty for the room", text)
		return math.NaN()
	}
	return x / 100
}
