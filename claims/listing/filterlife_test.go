package listing

import (
	"slices"
	"testing"

	"weighhouse/claims"
)

// TestLives: what ends a life, which filter it is of, and what is no life.
func TestLives(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string // basis of each life
	}{
		{"The filter lasts 12 months at 12 hours a day. By then the smoke rate has fallen to half.", []string{`12 h/day; until "the smoke rate has fallen to half"`}},
		{"The filter lasts 4000 hours, after which airflow is down to 60 % of new.", []string{`until "airflow is down to 60 %"`}},
		{"The filter lasts 6 months when used at 50 % power.", []string{""}},
		{"Filter change every 8 months, then save 20 % on the next one.", []string{""}},
		{"Filterwechsel nach 4380 Stunden; dann ist die Luftreinigungsleistung auf 80 % gefallen.", []string{`until "ist die Luftreinigungsleistung auf 80 % gefallen"`}},
		{"Pre-filter life: 6 months. The main filter lasts 12 months at 12 hours a day.", []string{"for the pre-filter", "12 h/day"}},
		{"Carbon filter: replace every 4 months. Particle filter: replace every 9 months.", []string{"for the carbon filter", ""}},
		{"H13 HEPA and activated carbon filter: replace every 6 months.", []string{""}},
		{"The cartridge (HEPA, pre-filter, carbon filter) lasts 8 months.", []string{""}},
		{"Filter with carbon layer: 8 months.", []string{""}},
		{"HEPA filter: 12 months, carbon filter: 6 months.", []string{"", "for the carbon filter"}},
		{"Washable pre-filter: clean it every 2 weeks.", nil},
		{"Wash the pre-filter every 4 weeks; replace the filter after 12 months.", []string{""}},
		{"Vorfilter alle 2 Wochen reinigen.", nil},
		{"Den Vorfilter reinigen: alle 14 Tage. Filterwechsel: alle 12 Monate.", []string{""}},
	} {
		r := vet(t, c.text)
		var got []string
		for _, d := range r.Claims {
			if d.Claim.Attribute == claims.FilterLife {
				got = append(got, d.Claim.Basis.Text)
			} else if d.Claim.Attribute != claims.FilterGrade {
				t.Errorf("%q: %s", c.text, d.Understood)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
		for _, f := range r.Findings {
			if f.Rule == "CX-09" || f.Rule == "FL-06" {
				t.Errorf("%q: %s, of two filters", c.text, f.Rule)
			}
		}
	}
}
