package rank

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"sort"
	"time"

	"weighhouse/measure"
	"weighhouse/measure/sheet"
	"weighhouse/measure/uncertainty"
	"weighhouse/verdict"
)

// ReadAudit reads an audit.json as far as a comparison needs it: the product, the test and its room, the results with
// their runs and budgets, the costs. Claims, findings and figures are left out. It is an error where the text is no
// audit of this format, and where its decay runs do not say what they were.
func ReadAudit(r io.Reader) (*verdict.Audit, error) {
	data, err := io.ReadAll(io.LimitReader(r, verdict.MaxFile+1))
	if err != nil {
		return nil, err
	}
	if len(data) > verdict.MaxFile {
		return nil, errors.New(sheet.TooLarge("bytes of the file", int64(len(data)), verdict.MaxFile))
	}
	var rep verdict.Report
	if err := json.Unmarshal(data, &rep); err != nil {
		return nil, fmt.Errorf("is no audit.json: %w", err)
	}
	if rep.Format != verdict.Format {
		return nil, fmt.Errorf("format: found %q, expected %q", rep.Format, verdict.Format)
	}
	if err := rep.Check(); err != nil {
		return nil, fmt.Errorf("the audit does not agree with itself: %w", err)
	}
	a := &verdict.Audit{Version: rep.Tool.Version, Issued: rep.Issued, Case: rep.Case, Product: rep.Product, Inputs: rep.Inputs, Marked: rep.Marked}
	if rep.Room != nil {
		if !(rep.Room.Volume > 0) {
			return nil, fmt.Errorf("room: volume_m3: found %g, expected a volume above zero", rep.Room.Volume)
		}
		a.Room = &verdict.Room{Volume: rep.Room.Volume, U: rep.Room.U, Text: rep.Room.Text}
	}
	for name, value := range rep.Test {
		a.Test.Fields = append(a.Test.Fields, verdict.Field{Name: name, Value: value})
	}
	sort.Slice(a.Test.Fields, func(i, j int) bool { return a.Test.Fields[i].Name < a.Test.Fields[j].Name })
	var bad []error
	for _, m := range rep.Measurements {
		x, err := measurementOf(m)
		if err != nil {
			bad = append(bad, err)
			continue
		}
		a.Measurements = append(a.Measurements, x)
	}
	for _, c := range rep.Costs {
		a.Costs = append(a.Costs, verdict.Cost{Option: c.Option, HoursPerDay: c.HoursPerDay, EnergyKWh: c.EnergyKWh, EnergyU: c.EnergyU,
			EnergyCost: c.EnergyCost, FilterCost: c.FilterCost, Total: c.Total, TotalU: c.TotalU, Low: c.Low, High: c.High, Currency: c.Currency, Basis: c.Basis})
	}
	return a, errors.Join(bad...)
}

// measurementOf is a result as the audit held it, without its figures and exact distributions.
func measurementOf(m verdict.ReportMeasurement) (measure.Measurement, error) {
	out := measure.Measurement{ID: m.ID, Attribute: m.Attribute, Setting: m.Setting, Particle: m.Particle, Unit: m.Unit, Method: m.Method,
		Instrument: m.Meter, RoomFactor: m.Factor, Value: number(m.Value, math.NaN()), Std: number(m.Std, math.NaN()), Expanded: number(m.Expanded, math.NaN()),
		K: number(m.K, math.NaN()), DOF: number(m.DOF, math.Inf(1)), Interval: [2]float64{math.NaN(), math.NaN()}}
	if m.Distance != nil {
		out.Distance = *m.Distance
	}
	for i := 0; i < len(m.Interval) && i < 2; i++ {
		out.Interval[i] = number(m.Interval[i], math.NaN())
	}
	for _, f := range m.Flags {
		out.Warnings = append(out.Warnings, measure.Warning{Flag: f, Text: string(f)})
	}
	for _, c := range m.Budget {
		out.Budget = append(out.Budget, uncertainty.Component{Name: c.Component, U: c.U, DOF: number(c.DOF, math.Inf(1)), Kind: c.Kind, Note: c.Note})
	}
	for _, r := range m.Runs {
		if r.LeftOut {
			continue
		}
		x := measure.Run{Run: r.Run, State: r.State, Value: number(r.Value, math.NaN()), Unit: r.Unit, Std: number(r.U, math.NaN()), From: r.From, To: r.To,
			Points: r.Points, R2: number(r.R2, math.NaN()), Place: r.Place}
		if m.Attribute == "delivery rate" && (r.State != "on" && r.State != "off" || r.Value == nil) {
			return out, fmt.Errorf("measurement %s, run %q: expected a value and the state on or off, found state %q; audit the case again to bring its runs into the file", m.ID, r.Run, r.State)
		}
		if r.Start != "" {
			t, err := time.Parse("2006-01-02T15:04:05", r.Start)
			if err != nil {
				return out, fmt.Errorf("measurement %s, run %q: start: found %q, expected a time such as 2026-05-18T10:17:28", m.ID, r.Run, r.Start)
			}
			x.Start = t
		}
		out.Runs = append(out.Runs, x)
	}
	return out, nil
}

func number(x *float64, otherwise float64) float64 {
	if x == nil {
		return otherwise
	}
	return *x
}
