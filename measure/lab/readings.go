package lab

import (
	"math"
	"strconv"
	"strings"

	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/measure/unit"
)

// series fetches the logs that rows of a table point at: one a row, nil for a row without a log.
func (r *reader) series(asks []sheet.LogRequest) []*sheet.Series {
	out := make([]*sheet.Series, len(asks))
	var some []sheet.LogRequest
	var which []int
	for i, a := range asks {
		if a.Path != "" {
			some, which = append(some, a), append(which, i)
		}
	}
	if len(some) == 0 {
		return out
	}
	got, ps := r.folder.Logs(r.book, some)
	r.ps = append(r.ps, ps...)
	for i, s := range got {
		out[which[i]] = s
	}
	return out
}

func (r *reader) sound() {
	var kept []soundRow
	var asks []sheet.LogRequest
	for _, row := range rows[soundRow](r, "sound") {
		if row.Level.Bad || row.Log.Bad {
			continue
		}
		if row.Level.Given == (row.Log.Value != "") {
			r.ps.Add(row.At.Place, "", "expected a level, or a log and its value column; found %s", bothOrNone(row.Level.Given))
			continue
		}
		kept = append(kept, row)
		asks = append(asks, sheet.LogRequest{Path: row.Log.Value, Time: row.Time.Value, Value: row.Value.Value, Place: at(row.Log.Place, row.At.Place), SkipText: r.skip})
	}
	logs := r.series(asks)
	r.sameLogs(usesOf(logs, asks, func(i int) string { return kept[i].Setting.Value }))
	var rs []measure.SoundReading
	for i, row := range kept {
		x := measure.SoundReading{Setting: row.Setting.Value, Background: math.NaN(), Instrument: row.Instrument.Value, Meter: r.meter(row.Instrument), Position: row.Position.Value, U: r.std(row.PM, row.K, math.NaN(), row.Level.Unit, "dB(A)"), Place: row.At.Place.String()}
		if row.Distance.Given {
			x.Distance = r.convert(row.Distance, "", "m", "m")
			if x.Distance <= 0 {
				r.ps.Add(row.Distance.Place, "", "found %q; a distance is above 0", row.Distance.Text)
			}
		}
		u := row.Level.Unit
		if row.Background.Given {
			x.Background = r.convert(row.Background, "", "dB(A)", "dB(A)")
		}
		switch {
		case row.Level.Given:
			x.Level, x.Half = r.span(row.Level, "dB(A)")
		case logs[i] == nil:
			continue
		default:
			u = logs[i].ValueUnit
			weighted, why := weighting(logs[i].Value, u)
			if why != "" {
				r.ps.Add(at(row.Value.Place, at(row.Log.Place, row.At.Place)), "", "the log's column %q %s; expected a column of A-weighted levels, in dB(A) or dB", logs[i].Value, why)
				continue
			}
			x.Weighted = weighted
			x.Log = &measure.LevelLog{Seconds: logs[i].T, Level: logs[i].V}
			x.Notes = logs[i].Notes
			r.logNotes(row.At.Place, logs[i])
		}
		if w, ok := unit.Lookup(u); ok && w.Name == "dB(A)" {
			x.Weighted = true
		}
		x.Weighted = x.Weighted || r.weighted(row.Instrument.Value)
		rs = append(rs, x)
	}
	ms, bad := measure.ReduceSound(rs, r.soundRoom())
	r.keep(ms, bad)
}

// soundRoom is the test room as far as sound in it goes.
func (r *reader) soundRoom() measure.SoundRoom {
	s := r.reverberation
	if r.out.Room != nil {
		s.Volume, s.VolumeU = r.out.Room.Volume, r.out.Room.U
	}
	return s
}

// span brings a reading that may be a range to a unit: its middle, and half its width.
func (r *reader) span(n sheet.Span, to string) (middle, half float64) {
	ends := [2]float64{n.Low, n.High}
	for i := range ends {
		ends[i] = r.convert(sheet.Number{Place: n.Place, Value: ends[i], Text: n.Text, Unit: n.Unit, InCell: n.InCell, Given: true}, "", to, to)
	}
	return (ends[0] + ends[1]) / 2, (ends[1] - ends[0]) / 2
}

// weighted reports whether the instruments table says of a sound level meter that it is set to A.
func (r *reader) weighted(id string) bool {
	for _, i := range r.out.Instruments {
		if id == "" || sheet.FoldName(i.ID) != sheet.FoldName(id) {
			continue
		}
		text := sheet.FoldName(i.Measures + " " + i.Note)
		return strings.Contains(text, "a weight") || strings.Contains(text, "db(a)") || strings.Contains(text, "dba")
	}
	return false
}

func bothOrNone(both bool) string {
	if both {
		return "both"
	}
	return "neither"
}

func (r *reader) logNotes(at sheet.Place, s *sheet.Series) {
	for _, n := range s.Notes {
		r.note(at, "%s", n)
	}
	if s.ClockNote != "" {
		r.note(at, "%s", s.ClockNote)
	}
	r.lostReadings(at, s)
}

func (r *reader) keep(ms []measure.Measurement, bad []measure.RunProblem) {
	r.out.Measurements = append(r.out.Measurements, ms...)
	r.out.Skipped = append(r.out.Skipped, bad...)
}

func (r *reader) power() {
	var kept []powerRow
	var asks []sheet.LogRequest
	for _, row := range rows[powerRow](r, "power") {
		if row.Watts.Bad || row.Log.Bad {
			continue
		}
		if row.Watts.Given == (row.Log.Value != "") {
			r.ps.Add(row.At.Place, "", "expected watts, or a log and its value column; found %s", bothOrNone(row.Watts.Given))
			continue
		}
		if row.Watts.Given && row.Watts.Low < 0 {
			r.ps.Add(row.Watts.Place, "", "found %q; a power is not negative", row.Watts.Text)
		}
		kept = append(kept, row)
		asks = append(asks, sheet.LogRequest{Path: row.Log.Value, Time: row.Time.Value, Value: row.Value.Value, Place: at(row.Log.Place, row.At.Place), SkipText: r.skip})
	}
	logs := r.series(asks)
	r.sameLogs(usesOf(logs, asks, func(i int) string { return kept[i].Setting.Value }))
	var rs []measure.PowerReading
	for i, row := range kept {
		x := measure.PowerReading{Setting: row.Setting.Value, Instrument: row.Instrument.Value, Meter: r.meter(row.Instrument), Place: row.At.Place.String()}
		switch {
		case row.Watts.Given:
			x.Watts, x.Half = r.span(row.Watts, "W")
			x.U = r.std(row.PM, row.K, x.Watts, row.Watts.Unit, "W")
		case logs[i] == nil:
			continue
		default:
			f := factor("", logs[i].ValueUnit, "W", "W")
			if math.IsNaN(f) {
				such := "expected a column in W"
				if _, known := unit.Lookup(logs[i].ValueUnit); !known && !sheet.ElectricalUnit(logs[i].ValueUnit) {
					such += ", or its unit where the column is named, such as " + strconv.Quote(row.Value.Value+" [W]")
				}
				r.ps.Add(at(row.Log.Place, row.At.Place), "", "the log's column %q is in %q, which is no unit of power; %s", row.Value.Value, logs[i].ValueUnit, such)
				continue
			}
			w := logs[i].V
			if f != 1 {
				w = append([]float64(nil), w...)
				for j := range w {
					w[j] *= f
				}
			}
			x.Log, x.Notes = &measure.PowerLog{Seconds: logs[i].T, Watts: w}, logs[i].Notes
			x.U = r.std(row.PM, row.K, math.NaN(), "", "W")
			r.logNotes(row.At.Place, logs[i])
		}
		rs = append(rs, x)
	}
	ms, bad := measure.ReducePower(rs)
	r.keep(ms, bad)
}

// countUnit reports whether a header's unit says nothing, or that particles were counted.
func countUnit(text string) bool {
	switch sheet.FoldName(text) {
	case "", "#", "n", "1", "count", "counts", "particles", "particle", "pcs", "p", "number":
		return true
	}
	return false
}

func (r *reader) counts() {
	var rs []measure.CountReading
	for _, row := range rows[countsRow](r, "counts", "size", "upstream", "downstream") {
		f := factor("", row.Size.Unit, "um", "um")
		if math.IsNaN(f) {
			r.ps.Add(row.Size.Place, "", "%q is no unit of length", row.Size.Unit)
			continue
		}
		for _, n := range []struct {
			name string
			cell sheet.Number
		}{{"upstream", row.Up}, {"downstream", row.Down}} {
			if n.cell.Bad {
				continue
			}
			if !countUnit(n.cell.Unit) {
				r.ps.Add(n.cell.Place, "give the particles counted, and the air sampled in upstream volume and downstream volume", "%s is in %q; expected a whole number of particles counted, not a concentration or a share", n.name, n.cell.Unit)
				continue
			}
			if !n.cell.Given || n.cell.Value < 0 || n.cell.Value != math.Trunc(n.cell.Value) {
				r.ps.Add(at(n.cell.Place, row.At.Place), "", "found %q; expected a whole number of particles counted, 0 or more", n.cell.Text)
			}
		}
		x := measure.CountReading{SizeUm: row.Size.Low * f, Up: row.Up.Value, Down: row.Down.Value, UpVolume: math.NaN(), DownVolume: math.NaN(),
			Setting: row.Setting.Value, Place: row.At.Place.String()}
		if row.Size.High > row.Size.Low {
			x.SizeHighUm = row.Size.High * f
		}
		if row.UpVolume.Given {
			x.UpVolume = r.convert(row.UpVolume, "", "L", "L")
		}
		if row.DownVolume.Given {
			x.DownVolume = r.convert(row.DownVolume, "", "L", "L")
		}
		rs = append(rs, x)
	}
	if len(rs) > 0 && len(r.ps) == 0 {
		r.keep(measure.ReduceCounts(rs))
	}
}
