package main

import (
	"fmt"
	"strings"
)

// odd are cases that are read right although they are unusual; the audit holds a note where something was passed over
// or taken for granted.
func odd() map[string]files {
	one := func(w workbook) files { return files{"spec.xlsx": w.pack()} }
	sound := soundBook()
	change := func(old, fresh string) files { return one(sound.edit(claimsPart, old, fresh)) }
	text := claims("C1,noise,52,dB(A),,max,,1 m,,box,2026-04-20,")["spec/claims.csv"]
	table := func(s string) files { return files{"spec/product.csv": product, "spec/claims.csv": s} }
	log := curve(6)
	return map[string]files{
		"odd-1904":                one(oneClaim(52, dated(44670)).edit(bookPart, "<workbookPr/>", `<workbookPr date1904="1"/>`)),
		"odd-title-above-header":  one(book(sheet{"claims", [][]any{{"claims as listed", nil, nil}, {"attribute", "value", "unit"}, {"noise", 52, "dB(A)"}}}).edit("xl/worksheets/sheet1.xml", "</sheetData>", `</sheetData><mergeCells count="1"><mergeCell ref="A1:C1"/></mergeCells>`)),
		"odd-hidden-row":          change(`<row r="7">`, `<row r="7" hidden="1">`),
		"odd-hidden-rows":         one(sound.edit(claimsPart, `<row r="7">`, `<row r="7" hidden="1">`).edit(claimsPart, `<row r="9">`, `<row r="9" hidden="1">`)),
		"odd-hidden-column":       change("<sheetData>", `<cols><col min="2" max="2" hidden="1"/></cols><sheetData>`),
		"odd-hidden-sheet":        one(sound.edit(bookPart, `<sheet name="claims"`, `<sheet name="claims" state="veryHidden"`)),
		"odd-merged-cells":        change("</sheetData>", `</sheetData><mergeCells count="1"><mergeCell ref="E2:E3"/></mergeCells>`),
		"odd-dimension-too-large": change("<sheetData>", `<dimension ref="A1:E40"/><sheetData>`),
		"odd-unknown-sheet":       one(soundBook(sheet{"scratch", [][]any{{"ask the shop"}}})),
		"odd-chart-sheet":         one(sound.edit(bookPart, "</sheets>", `<sheet name="chart" sheetId="9" r:id="rId50"/></sheets>`).edit(relsPart, "</Relationships>", `<Relationship Id="rId50" Type="`+relNS+`/chartsheet" Target="chartsheets/c.xml"/></Relationships>`)),
		"odd-text-in-place":       change(`<c r="A7" t="s"><v>10</v>`, `<c r="A7" t="inlineStr"><is><t>noise</t></is>`),
		"odd-number-as-text":      one(oneClaim("52.0", nil)),
		"odd-date-as-text":        one(oneClaim(52, "2026-05-04")),
		"odd-formula-with-value":  change(`<c r="B7"><v>45</v>`, `<c r="B7"><f>40+5</f><v>45</v>`),
		"odd-upper-case-name":     {"SPEC.XLSX": sound.pack()},
		"odd-no-product":          {"spec/claims.csv": text},
		"odd-unknown-column":      table(strings.Replace(text, "evidence", "colour of the box", 1)),
		"odd-unknown-file":        table(text).with("spec/shopping.csv", "a,b\n1,2\n"),
		"odd-unknown-field":       table(text).with("spec/product.csv", product+"colour,white\n"),
		"odd-examples":            table(strings.Replace(text, claimHead, claimHead+"example: C1,nonsense,many,none,,,,,,,some day,\n", 1)),
		"odd-empty-reply":         table(text).with("spec/reply.csv", ""),
		"odd-bom":                 table("\xef\xbb\xbf" + text),
		"odd-utf-16":              table("\xff\xfe" + wide(text)),
		"odd-crlf":                table(strings.ReplaceAll(text, "\n", "\r\n")),
		"odd-old-mac":             table(strings.ReplaceAll(text, "\n", "\r")),
		"odd-semicolons":          table(strings.ReplaceAll(strings.ReplaceAll(text, ",", ";"), "52", "52,5")),
		"odd-tabs":                table(strings.ReplaceAll(text, ",", "\t")),
		"odd-sep-line":            table("sep=;\n" + strings.ReplaceAll(text, ",", ";")),
		"odd-trailing-separators": table(strings.ReplaceAll(text, "\n", ",,,\n")),
		"odd-rows-too-short":      table(claimHead + "C1,noise,52,dB(A)\n"),
		"odd-condition-unread":    table(strings.Replace(text, "1 m", "by moonlight", 1)),
		"odd-no-unit":             table(strings.Replace(text, "dB(A)", "", 1)),
		"odd-db-no-weighting":     table(strings.Replace(text, "dB(A)", "dB", 1)),
		"odd-accuracy-not-needed": bench().edit("lab/instruments.csv", "1.4 dB", "rather good"),
		"odd-room-unknown-item":   bench().with("lab/room.csv", room+"doors,1,,\n"),
		"odd-test-unknown-field":  bench().with("lab/test.csv", "field,value\nweather,fair\n"),

		"odd-log-blank-values":    oneLog(strings.Replace(log, "\n600,", "\n600,\n601,", 1)),
		"odd-log-repeated-row":    oneLog(strings.Replace(log, "\n660,", "\n600,149.1\n660,", 1)),
		"odd-log-out-of-order":    oneLog(strings.Replace(log, "\n0,402.0\n60,363.9", "\n60,363.9\n0,402.0", 1)),
		"odd-log-past-midnight":   oneLog(stamped(6, "time", func(s int) string { return fmt.Sprintf("%02d:%02d:%02d", (23+(s+1800)/3600)%24, (s+1800)/60%60, s%60) })),
		"odd-log-text-skipped":    oneLog(strings.Replace(log, "\n660,", "\n655,ERR\n660,", 1)).with("lab/test.csv", "field,value\nskip text rows,yes\n"),
		"odd-log-preamble":        oneLog("Bench logger 3\nserial,0042\n\n# room closed\n" + log),
		"odd-log-old-mac":         oneLog(strings.ReplaceAll(log, "\n", "\r")),
		"odd-log-quotes":          oneLog("\"time [s]\",\"pm1 (ug/m3)\"\n" + log[strings.Index(log, "\n")+1:]),
		"odd-log-serial-numbers":  oneLog(stamped(6, "time", func(s int) string { return fmt.Sprintf("%.8f", 46146.4+float64(s)/86400) })),
		"odd-log-comma-by-column": oneLog("time [s]\tpm1 (ug/m3)\n" + strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(log[strings.Index(log, "\n")+1:], ",", "\t"), ".", ","), "\t402,0", "\t402,011")),
		"odd-log-mm-ss":           oneLog(stamped(6, "time [mm:ss]", func(s int) string { return fmt.Sprintf("%02d:%02d", s/60, s%60) })),
		"odd-log-choose-sensor":   oneLog(twoSensors(6)).edit("lab/decay.csv", "logs/on.csv,pm1", "logs/on.csv,pm1 where sensor = bench"),
		"odd-log-unit-in-cell":    oneLog(strings.Replace(log, "time [s]", "t", 1)).edit("lab/decay.csv", ",log,", ",log,time,").edit("lab/decay.csv", "logs/off.csv,", "logs/off.csv,,").edit("lab/decay.csv", "logs/on.csv,", "logs/on.csv,t [s],"),
		"odd-log-footer":          oneLog(log + "------ end ------\nMean,81.0\n"),
		"odd-log-null":            oneLog(strings.NewReplacer("\n600,149.1", "\n600,null", "\n660,", "\n660,---\n665,").Replace(log)),
		"odd-log-not-used":        bench().with("lab/run1.csv", log),
	}
}
