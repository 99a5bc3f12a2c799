package letter

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/rickar/cal/v2"
	"github.com/rickar/cal/v2/at"
	"github.com/rickar/cal/v2/au"
	"github.com/rickar/cal/v2/be"
	"github.com/rickar/cal/v2/ca"
	"github.com/rickar/cal/v2/ch"
	"github.com/rickar/cal/v2/de"
	"github.com/rickar/cal/v2/dk"
	"github.com/rickar/cal/v2/es"
	"github.com/rickar/cal/v2/fr"
	"github.com/rickar/cal/v2/gb"
	"github.com/rickar/cal/v2/ie"
	"github.com/rickar/cal/v2/it"
	"github.com/rickar/cal/v2/jp"
	"github.com/rickar/cal/v2/nl"
	"github.com/rickar/cal/v2/no"
	"github.com/rickar/cal/v2/pl"
	"github.com/rickar/cal/v2/se"
	"github.com/rickar/cal/v2/us"
)

// countries are the public holidays of whole countries, from github.com/rickar/cal/v2; those of single states or cantons are
// not among them.
var countries = map[string][]*cal.Holiday{
	"at": at.Holidays, "au": {au.NewYear, au.AustraliaDay, au.GoodFriday, au.EasterMonday, au.AnzacDay, au.ChristmasDay, au.BoxingDay}, "be": be.Holidays, "ca": ca.Holidays, "ch": ch.Holidays, "de": de.Holidays, "dk": dk.Holidays, "es": es.Holidays,
	"fr": fr.Holidays, "gb": gb.Holidays, "ie": ie.Holidays, "it": it.Holidays, "jp": jp.Holidays, "nl": nl.Holidays, "no": no.Holidays, "pl": pl.Holidays,
	"se": se.Holidays, "us": us.Holidays,
}

// Countries lists the countries whose public holidays are known, as two small letters each.
func Countries() []string {
	var out []string
	for c := range countries {
		out = append(out, c)
	}
	slices.Sort(out)
	return out
}

// HolidaysOf gives the public holidays of a country in the years in which an answer asked for on a day can fall due, as they
// are kept: one that falls on a Sunday and is kept on Monday is that Monday.
func HolidaysOf(country string, from time.Time) ([]time.Time, error) {
	of, ok := countries[strings.ToLower(country)]
	if !ok {
		return nil, fmt.Errorf("no public holidays of %q are known; there are those of %s", country, strings.Join(Countries(), ", "))
	}
	var out []time.Time
	for year := from.Year(); year <= from.Year()+2; year++ {
		for _, h := range of {
			for _, day := range twice(h.Calc(year)) {
				if !day.IsZero() {
					out = append(out, day)
				}
			}
		}
	}
	return out, nil
}

func twice(a, b time.Time) []time.Time { return []time.Time{a, b} }

// widelyKept is in how many of the countries a day is a holiday before a letter warns of it.
const widelyKept = 3

// keptOn gives the countries that keep a day as a public holiday.
func keptOn(day time.Time) (out []string) {
	want := day.Format(time.DateOnly)
	for _, c := range Countries() {
		days, _ := HolidaysOf(c, day)
		if slices.ContainsFunc(days, func(d time.Time) bool { return d.Format(time.DateOnly) == want }) {
			out = append(out, strings.ToUpper(c))
		}
	}
	return out
}
