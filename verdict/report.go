package verdict

import (
	"runtime"

	"weighhouse/claims/wording"
	"weighhouse/measure"
)

// Report brings the audit to its JSON form.
func (a *Audit) Report() Report {
	r := Report{Format: Format, Tool: ReportTool{a.Version, runtime.GOARCH}, Issued: a.Issued, Case: a.Case, ID: a.ID, Product: a.Product, Inputs: or(a.Inputs),
		Claims: []ReportClaim{}, Findings: []ReportFinding{}, Measurements: []ReportMeasurement{}, Costs: []ReportCost{},
		Summary: map[string]int{}, Rule: a.Rule.Text, Test: map[string]string{}, Record: []ReportRecord{},
		History: []ReportThread{}, Replies: or(a.Replies), Information: []ReportTable{}, Notes: or(a.Notes), Doubts: or(a.Doubts), Marked: or(a.Marked), Refused: or(a.Refused), NotRead: or(a.NotRead), Cautions: a.Cautions}
	for _, o := range Outcomes {
		r.Summary[string(o)] = a.Count(o)
	}
	for i := range a.Rows {
		r.Claims = append(r.Claims, reportRow(&a.Rows[i]))
	}
	for _, f := range a.Findings {
		r.Findings = append(r.Findings, reportFinding(f, f.Finding, ""))
		for _, id := range f.Also {
			r.Findings = append(r.Findings, reportFinding(f, wording.RuleFinding(id, f.Quote), f.Rule))
		}
	}
	r.Summary["findings"] = len(r.Findings)          // as many as the list has
	r.Summary["findings_distinct"] = len(a.Findings) // once each, with all their rules
	r.Summary["findings_open"] = a.Open()            // of these, those that leave something open: the number that people are shown
	for i := range a.Measurements {
		r.Measurements = append(r.Measurements, reportMeasurement(&a.Measurements[i]))
	}
	for _, c := range a.Costs {
		x := ReportCost{Option: c.Option, HoursPerDay: c.HoursPerDay, EnergyKWh: c.EnergyKWh, EnergyU: c.EnergyU, EnergyCost: c.EnergyCost,
			FilterCost: c.FilterCost, Total: c.Total, TotalU: c.TotalU, Low: c.Low, High: c.High, Currency: c.Currency, Basis: c.Basis}
		if c.PerThousand > 0 {
			x.PerThousand = &c.PerThousand
		}
		r.Costs = append(r.Costs, x)
	}
	if a.Room != nil {
		r.Room = &ReportRoom{a.Room.Volume, a.Room.U, a.Room.Text, a.Room.Qualification}
	}
	for _, f := range a.Test.Fields {
		r.Test[f.Name] = f.Value
	}
	for _, c := range a.Test.Complete {
		r.Record = append(r.Record, ReportRecord(c))
	}
	for _, t := range a.History {
		x := ReportThread{Attribute: t.Attribute, Source: t.Source, Change: t.Change}
		for _, e := range t.Entries {
			x.Entries = append(x.Entries, ReportEntry(e))
		}
		r.History = append(r.History, x)
	}
	for _, t := range a.Info {
		r.Information = append(r.Information, ReportTable(t))
	}
	return r
}

// reportFinding is one finding in its JSON form. A rule that says the same of the same words as another stands as a finding
// of its own there, naming the other, so that each rule id can be looked up; reports for people print the two as one.
func reportFinding(f Finding, as wording.Finding, sameAs string) ReportFinding {
	return ReportFinding{Rule: as.Rule, Class: as.Class, Severity: as.Severity, Claims: or(f.Claims), Quote: f.Quote, Place: f.Place,
		Why: as.Why, Ask: as.Ask, Evidence: as.Evidence, Source: as.Source, Mark: as.Mark, SameAs: sameAs}
}

func reportRow(r *Row) ReportClaim {
	c := r.Claim
	x := ReportClaim{ID: c.ID, Attribute: c.Attribute, Setting: c.Setting, Particle: c.Particle, Basis: c.Basis.Text, Wording: c.Wording,
		Source: c.Source, Captured: c.Captured, Evidence: c.Evidence, Bound: c.Bound, Probability: r.Probability, Adjusted: r.Adjusted, Verdict: r.Verdict,
		Hold: r.HoldText(), Statement: r.Statement, Ask: r.Ask, Answer: r.Answer, Notes: or(r.Notes), Words: reportSeen(c.Seen), Flags: []measure.Flag{}}
	if v := c.Claimed; v != nil {
		x.Claimed = &ReportRange{v.Low, v.High, v.Unit, v.Text}
	}
	if m := r.Measured; m != nil {
		x.Measured = &ReportMeasured{Value: m.Value, Unit: m.Unit, Std: m.Std, Expanded: m.Expanded, K: m.K, DOF: finite(m.DOF), Method: m.Method, Measurement: m.ID}
		x.Flags = or(m.Flags())
	}
	if l := r.Limit; l != nil {
		x.Limit = &ReportLimit{Value: l.Value, Unit: l.Unit, Low: finite(l.Low), High: finite(l.High)}
		x.Tolerance = &ReportTolerance{r.Tolerance.Value, r.Tolerance.Unit, r.Tolerance.Source, r.Tolerance.Mark, r.Tolerance.Amount, r.Tolerance.Rounding}
	}
	if g := r.Gap; g != nil {
		x.Gap = &ReportGap{g.Value, g.Unit, g.Percent, r.GapWords}
	}
	if r.Probability != nil && r.Measured.Exact == nil {
		x.GuardBand = finite(r.Guard)
	}
	return x
}

func reportMeasurement(m *measure.Measurement) ReportMeasurement {
	x := ReportMeasurement{ID: m.ID, Attribute: m.Attribute, Setting: m.Setting, Particle: m.Particle, Value: finite(m.Value), Unit: m.Unit,
		Std: finite(m.Std), Expanded: finite(m.Expanded), K: finite(m.K), DOF: finite(m.DOF), Interval: []*float64{finite(m.Interval[0]), finite(m.Interval[1])},
		Method: m.Method, Meter: m.Instrument, Factor: m.RoomFactor, Budget: []ReportComponent{}, Runs: []ReportRun{}, Flags: or(m.Flags()), Warnings: texts(m.Warnings)}
	if m.Distance > 0 {
		x.Distance = &m.Distance
	}
	for i, c := range m.Budget {
		x.Budget = append(x.Budget, ReportComponent{Component: c.Name, U: c.U, Share: m.Budget.Share(i), DOF: finite(c.DOF), Kind: c.Kind, Note: c.Note})
	}
	for _, r := range m.Runs {
		y := ReportRun{Run: r.Run, State: r.State, Value: finite(r.Value), Unit: r.Unit, U: finite(r.Std), From: r.From, To: r.To, Points: r.Points,
			R2: finite(r.R2), Flags: []measure.Flag{}, Warnings: texts(r.Flags), Place: r.Place, LeftOut: r.LeftOut}
		if !r.Start.IsZero() {
			y.Start = r.Start.Format("2006-01-02T15:04:05")
		}
		for _, p := range r.Phases {
			y.Phases = append(y.Phases, ReportPhase{Phase: p.Phase, From: p.From, To: p.To, Rate: finite(p.Rate)})
		}
		for _, f := range r.Flags {
			y.Flags = append(y.Flags, f.Flag)
		}
		x.Runs = append(x.Runs, y)
	}
	for _, d := range m.Doubts {
		y := ReportDoubt{Name: d.Name, Holds: d.Holds.Words(), Why: d.Why, Settle: d.Settle}
		if d.As != nil {
			y.Value, y.Std, y.Expanded, y.DOF = finite(d.As.Value), finite(d.As.Std), finite(d.As.Expanded), finite(d.As.DOF)
		}
		x.Doubts = append(x.Doubts, y)
	}
	return x
}

func texts(ws []measure.Warning) []string {
	out := []string{}
	for _, w := range ws {
		out = append(out, w.Text)
	}
	return out
}
