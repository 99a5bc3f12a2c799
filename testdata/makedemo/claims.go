package main

// claim is one row of the claims table with the verdict that it was designed to get.
type claim struct {
	attribute string
	value     any // float64, or nil for words alone
	unit      string
	bound     string
	setting   string
	particle  string
	basis     string
	wording   string
	from      source
	truth     claimTruth
}

// source is where a claim was seen: what the source column says, the day, and the capture.
type source struct {
	where, captured, file string
}

var (
	listingApril = source{"listing, product page", "2026-04-20", "captures/listing-2026-04-20.html"}
	listingJuly  = source{"listing, product page", "2026-07-06", "captures/listing-2026-07-06.html"}
	box          = source{"box, back panel", "2026-04-20", "captures/box-back.txt"}
	manual       = source{"manual, page 14", "2026-04-20", "captures/manual-page-14.txt"}
	plate        = source{"rating plate", "2026-04-20", "captures/rating-plate.txt"}
)

const (
	supported    = "supported"
	contradicted = "contradicted"
	inconclusive = "inconclusive"
	untested     = "untested"
	unclear      = "unclear"
)

var claimsHead = []string{"id", "attribute", "value", "unit", "bound", "setting", "particle", "basis", "wording", "source", "captured", "evidence"}

// claimsTable numbers the claims C1, C2 … and gives the table and the truth.
func claimsTable(list []claim) (table, []claimTruth) {
	t := table{name: "claims", head: claimsHead}
	var truth []claimTruth
	for i, c := range list {
		id := "C" + cellText(i+1)
		t.rows = append(t.rows, []any{id, c.attribute, c.value, c.unit, c.bound, c.setting, c.particle, c.basis, c.wording,
			c.from.where, day(c.from.captured), c.from.file})
		tr := c.truth
		tr.ID = id
		truth = append(truth, tr)
	}
	return t, truth
}

// judged is the truth of a claim that a number decides.
func judged(verdict string, value, limit float64, unit, why string, rules ...string) claimTruth {
	return claimTruth{Verdict: verdict, True: number(value), Limit: number(limit), Unit: unit, Why: why, Rules: rules}
}

// words is the truth of a claim that no number decides.
func words(verdict, why string, rules ...string) claimTruth {
	return claimTruth{Verdict: verdict, Why: why, Rules: rules}
}

// demoClaims are the claims of the demo case, by attribute.
func demoClaims() (table, []claimTruth) {
	return claimsTable([]claim{
		{"delivery rate", 340.0, "m3/h", "", "max", "smoke", "", "Smoke clean air delivery rate 340 m³/h (220 cfm) at maximum speed", listingApril,
			judged(contradicted, trueMax, 305.5, "m3/h", "10 % tolerance; the true rate is 23 % below the claim. 340 m3/h is 200 cfm, not 220", "CX-09")},
		{"delivery rate", 290.0, "m3/h", "up to", "max", "smoke", "", "Smoke clean air delivery rate up to 290 m³/h at maximum speed", listingJuly,
			judged(inconclusive, trueMax, 260.5, "m3/h", "the same page eleven weeks later: a lower number and an up-to; the limit is within the uncertainty of the true rate")},
		{"delivery rate", 90.0, "m3/h", "", "sleep", "smoke", "", "In sleep mode the smoke delivery rate is 90 m³/h", manual,
			judged(supported, trueSleep, 80.5, "m3/h", "10 % tolerance; the true rate is above the claim")},
		{"delivery rate", 225.0, "cfm", "", "max", "pollen", "", "Pollen CADR 225 cfm on maximum", box,
			words(untested, "smoke was measured, pollen was not, and the two are never compared")},
		{"noise", 52.0, "dB(A)", "", "max", "", "1 m; sound pressure", "Sound pressure level 52 dB(A) at 1 m, maximum speed", manual,
			judged(inconclusive, *number(energyMean(maxLevels...)), 55.5, "dB(A)", "above the claim, below claim + 3 dB(A), and the meter is no better than that")},
		{"noise", 33.0, "dB(A)", "", "sleep", "", "1 m; sound pressure", "Sound pressure level 33 dB(A) at 1 m, sleep mode", manual,
			judged(supported, *number(energyMean(sleepLevels...)), 36.5, "dB(A)", "well below the claim after the background is taken off")},
		{"noise", 24.0, "dB", "", "sleep", "", "", "Whisper-quiet: as low as 24 dB while you read", listingApril,
			words(unclear, "neither quantity nor distance nor weighting is stated", "NS-01", "NS-02")},
		{"power", 45.0, "W", "", "max", "", "", "Rated input 45 W", plate,
			judged(supported, trueWatts, 54.5, "W", "2 W above the rating, which a rating plate may be by 20 %")},
		{"standby power", 0.5, "W", "", "", "", "", "Standby 0.5 W", plate,
			judged(contradicted, trueStandby, 0.65, "W", "0.10 W tolerance at or below 1 W; an accurate meter shows 0.90 W")},
		{"annual energy", 394.0, "kWh", "", "max", "", "24 h/day", "Annual energy 394 kWh at 24 hours a day, maximum speed", manual,
			judged(supported, trueWatts*8.76, 473.3, "kWh", "394 kWh is 45 W all year; 47 W make 411.7 kWh, and what the rating is allowed, the energy that follows from it is allowed too")},
		{"filter grade", nil, "", "", "", "", "", "True HEPA-type H13 filter, medical grade", box,
			words(unclear, "no standard behind the words, no edition, no flow", "FG-02", "FG-04", "FG-05", "FG-07")},
		{"filter grade", nil, "", "", "", "", "EN 1822-1:2019; 300 m3/h", "Particle filter element F40-R: class E11 to EN 1822-1:2019 at a nominal air flow of 300 m³/h", manual,
			words(untested, "worded as it should be, about an element; nothing on the bench bears on the class of an element. It is another class than the box names", "FG-23")},
		{"filter efficiency", 99.97, "%", "", "max", "0.3 um", "", "Captures 99.97 % of particles at 0.3 µm", box,
			judged(inconclusive, trueEff03, 99.965, "%", "four particles downstream where 2.5 were allowed: not enough counts to settle it", "PE-02")},
		{"filter efficiency", 99.0, "%", "", "max", "1 um", "", "Removes 99 % of particles at 1 µm", manual,
			judged(supported, trueEff1, 98.5, "%", "three particles downstream where 31 were allowed")},
		{"filter efficiency", 99.9, "%", "", "", "", "", "Eliminates 99.9 % of germs and allergens", listingApril,
			words(unclear, "no size, no organism, no time", "BIO-02", "PE-09")},
		{"filter life", 12.0, "months", "", "", "", "12 h/day", "One filter lasts 12 months at 12 hours a day: a year of filters costs just 45 EUR", listingApril,
			judged(inconclusive, trueLife, 4197.5, "h", "12 months at 12 hours a day are 4380 h, less half a month for the rounding; the line has to be drawn far beyond the last row. The manual asks for two filters a year at 45 EUR each", "CX-08")},
		{"filter life", 6.0, "months", "", "", "", "12 h/day", "Change the filter every 6 months at 12 hours a day; filter F40-R, 45 EUR", manual,
			judged(supported, trueLife, 2007.5, "h", "6 months at 12 hours a day are 2190 h, less half a month; more than 70 % of the rate was left at 2400 h", "CX-08")},
		{"room area", 60.0, "m2", "up to", "max", "smoke", "4.8 ach; 2.4 m ceiling", "For rooms up to 60 m² (4.8 air changes an hour, ceiling 2.4 m)", listingApril,
			judged(contradicted, areaServed(trueMax, 4.8, 2.4), 53.5, "m2", "the rate claimed would itself serve no more than 29.5 m2 so", "CX-02")},
		{"clean time", 25.0, "min", "", "max", "smoke", "40 m3; 90 %", "Removes 90 % of smoke from a 40 m³ room in 25 minutes at maximum speed", manual,
			judged(supported, minutesTo(0.9, trueMax, 40), 25.5+25.0/9, "min", "the tolerance of the rate, 1/0.9 of the time; 21 minutes by the unit alone")},
		{"clean time", 12.0, "min", "", "", "", "60 m2", "Cleans your whole 60 m² reading room in just 12 minutes", listingApril,
			words(unclear, "no part to be removed is stated", "CV-03")},
		{"carbon mass", 500.0, "g", "", "", "", "", "500 g of activated carbon against odours", box,
			judged(contradicted, trueCarbon, 484.5, "g", "even with the 3 % that the lab book allows")},
		{"ozone", 5.0, "ppb", "", "max", "", "ioniser on", "Ozone-free ioniser, under 5 ppb", listingApril,
			words(untested, "no ozone analyser on the bench", "CX-12")},
	})
}
