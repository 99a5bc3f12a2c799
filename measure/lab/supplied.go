package lab

import (
	"math"
	"strings"

	"weighhouse/measure"
	"weighhouse/measure/sheet"
)

// resultRow is one row of the table results: what came as a number.
type resultRow struct {
	At            sheet.RowPlace `csv:"@row"`
	Attribute     sheet.Text     `csv:"attribute"`
	Setting       sheet.Text     `csv:"setting"`
	Particle      sheet.Text     `csv:"particle"`
	Value         sheet.Span     `csv:"value"`
	Unit          sheet.Text     `csv:"unit"`
	PM            sheet.Number   `csv:"±"`
	K             sheet.Number   `csv:"k"`
	Distance      sheet.Number   `csv:"distance"`
	Basis         sheet.Text     `csv:"basis"`
	Method        sheet.Text     `csv:"method"`
	Laboratory    sheet.Text     `csv:"laboratory"`
	Report        sheet.Text     `csv:"report"`
	Accreditation sheet.Text     `csv:"accreditation"`
	Date          sheet.Date     `csv:"date"`
	Evidence      sheet.Text     `csv:"evidence"`
}

// results reads what came as a number. Each row is a result of its own; its evidence counts among the inputs.
func (r *reader) results() {
	for _, row := range rows[resultRow](r, "results", "attribute", "value") {
		if s, ok := r.supplied(row); ok {
			r.out.Measurements = append(r.out.Measurements, s.Result())
		}
	}
}

func (r *reader) supplied(row resultRow) (s measure.Supplied, ok bool) {
	attribute := sheet.FoldName(row.Attribute.Value)
	unit, known := measure.SuppliedUnits[attribute]
	switch {
	case row.Attribute.Bad || row.Value.Bad:
		return s, false
	case !known:
		r.ps.Add(at(row.Attribute.Place, row.At.Place), "", "found %q; expected one of delivery rate, noise, power, standby power, annual energy, filter efficiency, filter life, room area, clean time, carbon mass, ozone", row.Attribute.Value)
		return s, false
	case !row.Value.Given:
		r.ps.Add(at(row.Value.Place, row.At.Place), "", "blank; expected a number or a range")
		return s, false
	}
	before := len(r.ps)
	end := func(v float64) float64 {
		return r.convert(sheet.Number{Place: row.Value.Place, Value: v, Text: row.Value.Text, Unit: row.Value.Unit, Given: true}, row.Unit.Value, "", unit)
	}
	s = measure.Supplied{Attribute: attribute, Setting: row.Setting.Value, Unit: unit, Low: end(row.Value.Low), U: math.NaN(), Basis: row.Basis.Value, How: row.Method.Value,
		Laboratory: row.Laboratory.Value, Report: row.Report.Value, Standing: row.Accreditation.Value, Date: row.Date.ISO, Place: row.At.Place.String()}
	if len(r.ps) > before {
		return s, false
	}
	s.High = end(row.Value.High)
	if s.Low < 0 {
		r.ps.Add(row.Value.Place, "", "found %q; expected 0 or more", row.Value.Text)
	}
	if attribute == "filter efficiency" && s.High > 100 {
		r.ps.Add(row.Value.Place, "", "found %q; an efficiency is at most 100 %%", row.Value.Text)
	}
	if p := row.Particle; p.Value != "" {
		var fits bool
		if s.Particle, fits = measure.Particle(p.Value); !fits {
			r.ps.Add(p.Place, "", "found %q; expected %s, or a size such as 0.3 um", p.Value, strings.Join(measure.Particles, ", "))
		}
	}
	if row.Distance.Given {
		s.Distance = row.Distance.Value
	}
	basis := sheet.FoldName(row.Basis.Value + " " + row.Method.Value)
	s.SoundPower = attribute == "noise" && (strings.Contains(basis, "sound power") || strings.Contains(basis, "lwa"))
	if row.PM.Given {
		s.K = 2
		if row.K.Given {
			s.K = row.K.Value
		}
		of := row.Unit.Value
		if of == "" {
			of = row.Value.Unit
		}
		s.U = r.std(row.PM, row.K, (s.Low+s.High)/2, of, unit)
	}
	if row.Evidence.Value != "" {
		if err := r.folder.Hash(row.Evidence.Value); err != nil {
			r.ps.Add(row.Evidence.Place, "", "%v", err)
		}
	}
	return s, len(r.ps) == before
}
