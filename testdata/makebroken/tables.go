package main

import "strings"

// csvTables are CSV files that are no sound text or no sound table.
func csvTables() map[string]files {
	sound := claims("C1,noise,52,dB(A),,max,,1 m,as quiet as 52 dB(A),box,2026-04-20,", "C2,power,45,W,,max,,,,rating plate,,")
	text := sound["spec/claims.csv"]
	table := func(s string) files { return sound.with("spec/claims.csv", s) }
	change := func(old, fresh string) files { return sound.edit("spec/claims.csv", old, fresh) }
	return map[string]files{
		"csv-nul":                 change("as quiet as", "as quiet\x00as"),
		"csv-utf-16-no-mark":      table(wide(text)),
		"csv-utf-16-odd-length":   table("\xff\xfe" + wide(text) + "x"),
		"csv-utf-16-half-pair":    table("\xff\xfe" + wide("attribute,wording\nnoise,") + "\x3d\xd8" + wide("x\n")),
		"csv-latin-1":             change("as quiet as", "bruit \xe0 l'\xe9t\xe9 de"),
		"csv-gb-18030":            change("as quiet as", "\xd4\xeb\xd2\xf4"),
		"csv-lone-cr":             change("rating plate", "rating\rplate"),
		"csv-quote-open":          change("as quiet as", "\"as quiet as"),
		"csv-quote-inside":        change("as quiet as", "a 12\" fan at"),
		"csv-quote-then-text":     change("as quiet as 52 dB(A)", "\"as quiet\" as 52"),
		"csv-row-too-long":        change("rating plate,,", "rating plate,,,extra"),
		"csv-decimal-comma-bare":  change("52,dB(A),,max", "52,5,dB(A),,max"),
		"csv-header-twice":        change("evidence", "Unit"),
		"csv-header-same-folded":  change("evidence", "CAPTURED "),
		"csv-no-attribute-column": change("id,attribute", "id,quality"),
		"csv-value-under-blank":   change(",source,", ",,"),
		"csv-empty":               table(""),
		"csv-blank-lines":         table("\n \n,,,\n"),
		"csv-no-rows":             table(claimHead),
		"csv-only-examples":       table(claimHead + "example: C1,noise,52,dB(A),,,,,,,,\n"),
		"csv-too-many-columns":    table("attribute" + strings.Repeat(",", 16_384) + "\nnoise\n"),
		"csv-line-too-long":       table("attribute,wording\nnoise,PAD\n"),
		"csv-too-many-rows":       table("attribute,value\nROW\n"),
		"csv-too-many-claims":     table("attribute,value\nROW\n"),
		"csv-too-many-cells":      table("attribute,value,unit,bound,setting,particle,basis,wording,source,captured\nROW\n"),
		"csv-same-table-twice":    sound,
		"csv-same-table-hyphen":   bench().with("lab/Decay.CSV.csv", "x\n").with("lab/-decay.csv", decay),
		"csv-no-claims-table":     {"spec/product.csv": product},
		"csv-no-table-at-all":     {"spec/notes.txt": "nothing here\n"},
		"csv-other-delimiter":     table("attribute|value|unit\nnoise|52|dB(A)\n"),
		"csv-html-page":           table("<!DOCTYPE html>\n<html><body>Not found</body></html>\n"),
		"csv-two-claims-wrong":    claims("C1,nois,52,dB(A),,,,,,,,", "C2,power,fifty,W,,,,,,,,", "C3,ozone,5,dB(A),,,,,,,,"),
	}
}

// claimTables are claims and products with one wrong word, unit, number or date.
func claimTables() map[string]files {
	one := func(row string) files { return claims(row) }
	return map[string]files{
		"claim-attribute-unknown":   one("C1,loudness,52,dB(A),,,,,,,,"),
		"claim-attribute-blank":     one("C1,,52,dB(A),,,,,,,,"),
		"claim-bound-unknown":       one("C1,noise,52,dB(A),roughly,,,,,,,"),
		"claim-particle-unknown":    one("C1,delivery rate,300,m3/h,,max,soot,,,,,"),
		"claim-particle-negative":   one("C1,delivery rate,300,m3/h,,max,-0.3 um,,,,,"),
		"claim-unit-unknown":        one("C1,noise,52,loud,,,,,,,,"),
		"claim-unit-of-another":     one("C1,delivery rate,300,W,,,,,,,,"),
		"claim-value-words":         one("C1,noise,very low,dB(A),,,,,,,,"),
		"claim-value-two-points":    one("C1,noise,5.2.1,dB(A),,,,,,,,"),
		"claim-value-two-signs":     one("C1,noise,\"1.095,5,0\",dB(A),,,,,,,,"),
		"claim-value-with-unit":     one("C1,noise,52 dB,dB(A),,,,,,,,"),
		"claim-value-hexadecimal":   one("C1,noise,0x34,dB(A),,,,,,,,"),
		"claim-value-not-a-number":  one("C1,noise,NaN,dB(A),,,,,,,,"),
		"claim-value-infinite":      one("C1,noise,1e999,dB(A),,,,,,,,"),
		"claim-value-too-large":     one("C1,filter life,1e306,years,,,,,,,,"),
		"claim-range-backwards":     one("C1,noise,60-50,dB(A),,,,,,,,"),
		"claim-value-negative":      one("C1,power,-45,W,,,,,,,,"),
		"claim-value-a-formula":     one("C1,power,=40+5,W,,,,,,,,"),
		"claim-day-not-possible":    one("C1,noise,52,dB(A),,,,,,,30.02.2026,"),
		"claim-day-unclear":         one("C1,noise,52,dB(A),,,,,,,04/05/2026,"),
		"claim-day-words":           one("C1,noise,52,dB(A),,,,,,,last May,"),
		"claim-day-two-figures":     one("C1,noise,52,dB(A),,,,,,,4.5.26,"),
		"claim-days-contradict":     claims("C1,noise,52,dB(A),,,,,,,13/05/2026,", "C2,power,45,W,,,,,,,05/13/2026,"),
		"claim-id-twice":            claims("C1,noise,52,dB(A),,,,,,,,", "C1,power,45,W,,,,,,,,"),
		"claim-id-of-another-row":   claims(",noise,52,dB(A),,,,,,,,", "C1,power,45,W,,,,,,,,"),
		"claim-evidence-not-there":  one("C1,noise,52,dB(A),,,,,,,,captures/page.html"),
		"product-field-twice":       spec().with("spec/product.csv", product+"model,Lumb 14\n"),
		"product-no-value-column":   spec().with("spec/product.csv", "field,text\nmaker,Ostrel Works\n"),
		"reply-day-not-possible":    spec().with("spec/reply.csv", "sent,channel,deadline,received,text\n2026-06-31,letter,,,\n"),
		"spec-three-tables-at-once": claims("C1,noise,52,loud,,,,,,,,").with("spec/product.csv", product+"model,Lumb 14\n").with("spec/reply.csv", "sent\nsoon\n"),
	}
}
