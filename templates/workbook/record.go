package workbook

import (
	"fmt"
	"strings"

	"weighhouse/templates/words"
	"weighhouse/templates/xlsx"
	"weighhouse/verdict"
)

func (b *book) findings() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: findingsName, FreezeRows: 1, FreezeCols: 1, Filter: true, PagesWide: 2}
	s.Widths(9, 18, 10, 10, 40, 56, 46, 40, 40, 12, 32)
	s.Head("rule", "class", "severity", "claims", "quote", "why it matters", "what to ask", "what would settle it", "source", "mark of the source", "where it stands")
	for _, i := range append(words.Open(b.a.Findings), words.Fixed(b.a.Findings)...) {
		f := b.a.Findings[i]
		s.Add(xlsx.Text(f.Rule), xlsx.Text(f.Class), xlsx.Text(f.Severity), xlsx.Text(strings.Join(f.Claims, ", ")), xlsx.Wrapped(f.Quote),
			xlsx.Wrapped(f.Why), xlsx.Wrapped(f.Ask), xlsx.Wrapped(f.Evidence), xlsx.Wrapped(f.Source), xlsx.Text(f.Mark), xlsx.Wrapped(f.Place))
	}
	return s
}

// Columns of Costs.
const (
	cosOption = 1 + iota
	cosHours
	cosEnergy
	cosEnergyU
	cosTariffLow
	cosTariffHigh
	cosTariff
	cosEnergyCost
	cosPerYear
	cosPrice
	cosFilter
	cosFilterLow
	cosFilterHigh
	cosTotal
	cosTotalU
	cosLow
	cosHigh
	cosCurrency
	cosPerThousand
	cosBasis
	cosHow
)

func (b *book) costs() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: costsName, FreezeRows: 1, FreezeCols: 1, PagesWide: 2}
	s.Widths(22, 9, 12, 10, 10, 10, 10, 12, 10, 10, 12, 11, 11, 12, 10, 11, 11, 10, 14, 46, 46)
	s.Head("option", "hours a day", "energy [kWh a year]", "U", "price of a kWh, low", "price of a kWh, high", "price used", "energy cost", "filters a year", "price of a filter",
		"filter cost", "filter cost, low", "filter cost, high", "total a year", "U of the total", "total, low", "total, high", "currency", "cost of 1,000 m³ of clean air", "basis", "how the numbers came")
	for i := range b.a.Costs {
		s.Add(b.cost(first+i, &b.a.Costs[i])...)
	}
	if len(b.a.Costs) > 0 {
		s.Add()
		s.Add(xlsx.Cell{Value: "Price and hours carry no uncertainty here. Amounts of different currencies are never added up.", Look: xlsx.Look{Grey: true}})
	}
	return s
}

func (b *book) cost(row int, c *verdict.Cost) []xlsx.Cell {
	at := func(col int) string { return xlsx.At(col, row) }
	var how []string
	calc := func(what string, want float64, candidates ...expr) xlsx.Cell {
		x, text := live(want, "number from the audit", candidates...)
		if text != "" {
			how = append(how, what+": "+text)
		}
		return x
	}
	money := func(x xlsx.Cell) xlsx.Cell { return formatted(x, "#,##0.00") }
	var energies []expr
	for _, r := range b.all {
		if r.m.Attribute == "power" && c.HoursPerDay > 0 {
			energies = append(energies, b.energy(r, c.HoursPerDay, 24-c.HoursPerDay)...)
		}
	}
	energy := calc("energy", c.EnergyKWh, energies...)
	tariff := (c.TariffLow + c.TariffHigh) / 2
	used := formula(fmt.Sprintf("(%s+%s)/2", at(cosTariffLow), at(cosTariffHigh)), tariff)
	cost := calc("energy cost", c.EnergyCost, expr{at(cosEnergy) + "*" + at(cosTariff), c.EnergyKWh * tariff, ""})
	filter := calc("filter cost", c.FilterCost, expr{at(cosPerYear) + "*" + at(cosPrice), c.PerYear * c.FilterPrice, ""})
	total := calc("total", c.Total, expr{at(cosEnergyCost) + "+" + at(cosFilter), c.EnergyCost + c.FilterCost, ""})
	totalU := calc("U of the total", c.TotalU, expr{at(cosEnergyU) + "*" + at(cosTariff), c.EnergyU * tariff, ""})
	low := calc("low total", c.Low, expr{fmt.Sprintf("(%s-%s)*%s+%s", at(cosEnergy), at(cosEnergyU), at(cosTariffLow), at(cosFilterLow)),
		(c.EnergyKWh-c.EnergyU)*c.TariffLow + c.FilterLow, ""})
	high := calc("high total", c.High, expr{fmt.Sprintf("(%s+%s)*%s+%s", at(cosEnergy), at(cosEnergyU), at(cosTariffHigh), at(cosFilterHigh)),
		(c.EnergyKWh+c.EnergyU)*c.TariffHigh + c.FilterHigh, ""})
	perThousand := xlsx.Cell{}
	if c.PerThousand > 0 {
		var each []expr
		for _, r := range b.all {
			if r.m.Attribute == "delivery rate" && r.m.Value > 0 && c.HoursPerDay > 0 {
				each = append(each, expr{fmt.Sprintf("1000*%s/(%s*%s*365)", at(cosTotal), r.cell(resValue), at(cosHours)),
					1000 * c.Total / (r.m.Value * c.HoursPerDay * 365), "total over a year's delivery at " + r.m.ID})
			}
		}
		perThousand = calc("1,000 m³", c.PerThousand, each...)
		perThousand.Look.Format = "0.0000"
	}
	return []xlsx.Cell{xlsx.Text(c.Option), given(c.HoursPerDay), energy, given(c.EnergyU), formatted(given(c.TariffLow), "0.00##"),
		formatted(given(c.TariffHigh), "0.00##"), formatted(used, "0.00##"), money(cost), given(c.PerYear), money(given(c.FilterPrice)), money(filter),
		money(given(c.FilterLow)), money(given(c.FilterHigh)), money(total), money(totalU), money(low), money(high), xlsx.Text(c.Currency), perThousand, xlsx.Wrapped(c.Basis),
		xlsx.Wrapped(strings.Join(how, "\n"))}
}

func (b *book) inputs() *xlsx.Sheet {
	s := &xlsx.Sheet{Name: inputsName, FreezeRows: 1, Portrait: true}
	s.Widths(44, 14, 68)
	s.Head("file", "bytes", "SHA-256")
	for _, in := range b.a.Inputs {
		s.Add(xlsx.Text(in.Path), xlsx.Cell{Value: float64(in.Bytes), Look: xlsx.Look{Given: true, Format: "#,##0"}}, xlsx.Text(in.SHA256))
	}
	return s
}

// mostRunes is how much of a long text one cell takes; the rest goes on in the cells below, for a reply is given in full.
const mostRunes = 1200

// record holds what belongs to the report and is no calculation.
func (b *book) record() *xlsx.Sheet {
	a := b.a
	s := &xlsx.Sheet{Name: recordName}
	s.Widths(24, 30, 20, 18, 20, 60)
	s.AddTitle("Test record")
	for _, f := range a.Test.Fields {
		s.Add(label(f.Name), xlsx.Text(f.Value))
	}
	if a.Room != nil {
		s.Add(label("room"), xlsx.Text(a.Room.Text))
		s.Add(label("room volume [m3]"), given(a.Room.Volume))
		s.Add(label("its standard uncertainty [m3]"), given(a.Room.U))
	}
	if len(a.Test.Instruments) > 0 {
		s.Add()
		s.Head("instrument", "measures", "serial", "calibrated", "accuracy", "note")
		for _, i := range a.Test.Instruments {
			s.Add(xlsx.Text(i.ID), xlsx.Text(i.Measures), xlsx.Text(i.Serial), xlsx.Text(i.Calibrated), xlsx.Text(i.Accuracy), xlsx.Wrapped(i.Note))
		}
	}
	if len(a.Test.Complete) > 0 {
		s.Add()
		s.Head("ISO/IEC 17025:2017 7.8.2.1", "item", "recorded", "taken from")
		for _, i := range a.Test.Complete {
			present := "no"
			if i.Present {
				present = "yes"
			}
			s.Add(xlsx.Text(i.Letter), xlsx.Wrapped(i.Item), xlsx.Text(present), xlsx.Text(i.From))
		}
	}
	b.history(s)
	for _, t := range a.Info {
		s.Add()
		s.Add(label(t.Title))
		s.Head(t.Header...)
		for _, r := range t.Rows {
			cells := make([]xlsx.Cell, len(r))
			for i, c := range r {
				cells[i] = xlsx.Wrapped(c)
			}
			s.Add(cells...)
		}
		if t.Note != "" {
			s.AddWide(t.Note, 6, xlsx.Look{Grey: true})
		}
	}
	if cs := words.Checks(a); len(cs) > 0 {
		s.Add()
		s.Head("check this: it may have been written down wrongly", "", "", "", "", "")
		for _, c := range cs {
			s.AddWide(c, 6, xlsx.Look{})
		}
	}
	for _, part := range []struct {
		head  string
		lines []string
	}{{words.RefusedHead, words.RefusedLines(a)}, {words.NotReadHead, words.NotReadLines(a)}} {
		if len(part.lines) > 0 {
			s.Add()
			s.Head(strings.ToLower(part.head), "", "", "", "", "")
			for _, l := range part.lines {
				s.AddWide(l, 6, xlsx.Look{})
			}
		}
	}
	if len(a.Notes) > 0 {
		s.Add()
		s.Head("notes of reading", "", "", "", "", "")
		for _, n := range a.Notes {
			s.AddWide(n, 6, xlsx.Look{})
		}
	}
	return s
}

// history adds the captures of each claim and what passed between tester and maker.
func (b *book) history(s *xlsx.Sheet) {
	for _, t := range b.a.History {
		s.Add()
		s.Add(label("history: "+t.Attribute), xlsx.Text(t.Source))
		s.Head("claim", "seen on", "evidence", "what it said")
		for _, e := range t.Entries {
			s.Add(xlsx.Text(e.Claim), xlsx.Text(e.Captured), xlsx.Text(e.Evidence), xlsx.Text(e.Text))
		}
		if t.Change != "" {
			s.AddWide(t.Change, 6, xlsx.Look{})
		}
	}
	if len(b.a.Replies) == 0 {
		return
	}
	s.Add()
	s.Head("sent to the maker", "channel", "answer asked for by", "answer received", "", "the answer in full")
	for _, r := range b.a.Replies {
		text := []rune(r.Text)
		part := text[:min(len(text), mostRunes)]
		s.Add(xlsx.Text(r.Sent), xlsx.Text(r.Channel), xlsx.Text(r.Deadline), xlsx.Text(r.Received), xlsx.Cell{}, xlsx.Wrapped(string(part)))
		for text = text[len(part):]; len(text) > 0; text = text[len(part):] {
			part = text[:min(len(text), mostRunes)]
			s.Add(xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}, xlsx.Cell{}, xlsx.Text("(continued)"), xlsx.Wrapped(string(part)))
		}
	}
}
