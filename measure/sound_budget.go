package measure

import (
	"fmt"
	"math"
	"strings"

	"weighhouse/measure/uncertainty"
)

// positions gives the energy mean of the corrected levels at each place of the microphone, in order of first appearance;
// rows that name none are one place.
func positions(ls []level) []float64 {
	at, order := map[string][]float64{}, []string(nil)
	for _, l := range ls {
		key := Fold(l.reading.Position)
		if at[key] == nil {
			order = append(order, key)
		}
		at[key] = append(at[key], l.corrected)
	}
	out := make([]float64, len(order))
	for i, key := range order {
		out[i] = EnergyMean(at[key])
	}
	return out
}

// named reports whether the book names places of the microphone.
func named(ls []level) bool {
	for _, l := range ls {
		if l.reading.Position != "" {
			return true
		}
	}
	return false
}

// placed says how many readings were taken at how many places.
func placed(readings, places int) string {
	if places < 2 {
		return plural(readings, "reading")
	}
	return fmt.Sprintf("%s at %s", plural(readings, "reading"), plural(places, "position"))
}

// soundBudget lists the components of a mean of corrected levels. The weight of a reading in the energy mean is its
// share of the energy.
func soundBudget(ls []level, corrected, places, raws []float64, value float64, m *Measurement) uncertainty.Budget {
	var b uncertainty.Budget
	n := float64(len(ls))
	shares := make(map[string]float64, len(places)) // how many readings a position has
	for _, l := range ls {
		shares[Fold(l.reading.Position)]++
	}
	var cL, cB, within, ranged float64
	meter, meterDOF, meterNote := 0.0, math.Inf(1), ""
	for _, l := range ls {
		w := math.Pow(10, 0.1*(l.corrected-value)) / (float64(len(places)) * shares[Fold(l.reading.Position)])
		cL, cB = cL+w*l.cL, cB+w*l.cB
		within = math.Hypot(within, w*l.cL*l.within)
		ranged = math.Hypot(ranged, w*l.cL*l.reading.Half/math.Sqrt(3))
		u, dof, note, assumed := l.reading.Meter.levelU(l.raw)
		if l.reading.U > 0 {
			u, dof, note, assumed = l.reading.U, math.Inf(1), "stated with the reading", ""
		}
		// One meter's error is common to all its readings, so the shares add; two meters are treated alike, for caution.
		meter += w * l.cL * u
		meterDOF = math.Min(meterDOF, dof)
		meterNote = joinNew(meterNote, note)
		if assumed != "" {
			m.Warn(AssumedAccuracy, assumed)
		}
	}
	own := len(places) >= int(ThresholdOf("positions"))
	switch {
	case own:
		_, sd := meanSD(places)
		p := float64(len(places))
		b = append(b, uncertainty.Component{Name: "positions", U: sd / math.Sqrt(p), DOF: p - 1, Kind: "A",
			Note: fmt.Sprintf("standard deviation %.2f dB of the levels at %d positions, over √%d", sd, len(places), len(places))})
	case len(ls) > 1:
		_, sd := meanSD(corrected)
		b = append(b, uncertainty.Component{Name: "repeats and positions", U: sd / math.Sqrt(n), DOF: n - 1, Kind: "A",
			Note: fmt.Sprintf("standard deviation %.2f dB of %d corrected levels, over √%d", sd, len(ls), len(ls))})
	case within > 0:
		b = append(b, uncertainty.Component{Name: "fluctuation in the log", U: within, DOF: batches - 1, Kind: "A", Note: "from the means of eighths of the log"})
	}
	b = append(b, uncertainty.Component{Name: "meter accuracy", U: meter, DOF: meterDOF, Kind: "B",
		Note: fmt.Sprintf("%s; times %.3f for the background correction", meterNote, cL)})
	if ranged > 0 {
		b = append(b, uncertainty.Component{Name: "readings given as a range", U: ranged, DOF: math.Inf(1), Kind: "B", Note: "half the range, rectangular: a/√3"})
	}
	if !own {
		room := instrument("room and position")
		if len(ls) < 3 || len(places) < 3 && named(ls) {
			room = instrument("room and one position")
		}
		b = append(b, uncertainty.Component{Name: "room and position", U: room.Abs, DOF: room.DOF(), Kind: "B", Note: room.note()})
	}
	if cB > 0 {
		bg := instrument("background")
		b = append(b, uncertainty.Component{Name: "background", U: cB * bg.Abs, DOF: bg.DOF(), Kind: "B",
			Note: fmt.Sprintf("u(B) = %g dB (%s) times %.3f", bg.Abs, bg.Mark, cB)})
	}
	res, step := 0.1, "0.1 dB"
	if wholeNumbers(raws) {
		res, step = 1, "1 dB, all readings being whole numbers"
	}
	return append(b, uncertainty.Component{Name: "resolution", U: cL * res / math.Sqrt(12), DOF: math.Inf(1), Kind: "B",
		Note: "readings in steps of " + step + ", rectangular: step/√12"})
}

// levelU is the standard uncertainty of a sound meter at a level, with its degrees of freedom and its note in the
// budget; assumed says so where a default stands in because the book states neither a class nor an accuracy, else "".
func (m Meter) levelU(level float64) (u, dof float64, note, assumed string) {
	if m.Acc != nil && (m.Acc.Class != 0 || m.Acc.Percent == 0 && strings.HasPrefix(m.Acc.Unit, "dB")) {
		return m.Acc.U(level), m.Acc.DOF(), m.Acc.note(), ""
	}
	id := "level unknown"
	switch m.Kind {
	case ClassOne, ClassTwo, Phone, PhoneExternal:
		id = m.Kind
	}
	d := instrument(id)
	note = d.note()
	switch {
	case m.Acc != nil:
		note = fmt.Sprintf("%q is no accuracy of a level; %s", m.Acc.Text, note)
		assumed = fmt.Sprintf("%q is no accuracy of a level; taken as: %s", m.Acc.Text, d.short())
	case id != ClassOne && id != ClassTwo:
		assumed = "no accuracy of the meter is stated; taken as: " + d.short()
	}
	return d.U(level), d.DOF(), note, assumed
}
