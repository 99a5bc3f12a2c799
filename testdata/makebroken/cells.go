package main

import "strings"

// cells are books whose numbers carry a unit, a ± or another sign beside them, or characters that are raised or struck out:
// each is read as it is meant, with a note where something was taken for granted, or refused with the cell.
func cells() map[string]files {
	rich := func(xml string) files {
		return asSpec(oneClaim(raw(` t="inlineStr"><is>`+xml+`</is>`), nil))
	}
	shared := func(xml string) files {
		w := oneClaim("XYZ", nil)
		return asSpec(w.edit("xl/sharedStrings.xml", `<si><t xml:space="preserve">XYZ</t></si>`, "<si>"+xml+"</si>"))
	}
	run := func(text, mark string) string {
		if mark != "" {
			mark = "<rPr>" + mark + "</rPr>"
		}
		return "<r>" + mark + "<t>" + text + "</t></r>"
	}
	const super, sub, strike = `<vertAlign val="superscript"/>`, `<vertAlign val="subscript"/>`, `<strike/>`
	struck := func(cell raw) files {
		w := oneClaim(cell, nil)
		return asSpec(w.edit("xl/styles.xml", `<font/></fonts>`, `<font/><font><strike/></font></fonts>`).
			edit("xl/styles.xml", `</cellXfs>`, `<xf numFmtId="0" fontId="1" applyFont="1"/></cellXfs>`))
	}
	percent := func(claim ...any) files {
		w := book(sheet{"claims", [][]any{{"attribute", "value", "unit"}, claim}})
		return asSpec(w.edit("xl/styles.xml", `numFmtId="14"`, `numFmtId="9"`))
	}
	lab := func(table, text string) files { return spec().with("lab/"+table+".csv", text) }
	roomWith := func(old, fresh string) files { return bench().edit("lab/room.csv", old, fresh) }
	head := func(fresh string) files { return roomWith("item,value,unit,±", fresh) }
	table := func(text string) files { return spec().with("spec/claims.csv", text) }
	one := "C1,noise,52,dB(A),,max,,1 m,,box,2026-04-20,\n"
	west := strings.NewReplacer("±", "\xb1", "é", "\xe9", "³", "\xb3", "€", "\x80")
	return map[string]files{
		"cell-superscript":         rich(run("225", "") + run("1", super)),
		"cell-superscript-shared":  shared(run("225", "") + run("1", super)),
		"cell-subscript":           shared(run("45", "") + run("2", sub)),
		"cell-struck-part":         shared(run("30", strike) + run("45", "")),
		"cell-struck-whole":        struck(raw(` s="2"><v>45</v>`)),
		"cell-superscript-sign":    rich("<t>225¹</t>"),
		"odd-superscript-in-words": asSpec(book(sheet{"claims", [][]any{{"attribute", "value", "unit"}, {"delivery rate", 300, raw(` t="inlineStr"><is>` + run("m", "") + run("3", super) + run("/h", "") + `</is>`)}}})),
		"odd-struck-words":         asSpec(book(sheet{"claims", [][]any{{"attribute", "value", "unit", "wording"}, {"noise", 45, "dB(A)", raw(` t="inlineStr"><is>` + run("only 30 dB", strike) + run(" 45 dB", "") + `</is>`)}}})),

		"unit-percent-in-watts":       lab("power", "setting,watts\nmax,45 %\n"),
		"unit-percent-header-watts":   lab("power", "setting,watts [W]\nmax,45 %\n"),
		"unit-percent-price":          lab("costs", "item,value,currency\nelectricity,30 %,EUR\n"),
		"unit-percent-cell-watts":     percent("power", dated(0.45), "W"),
		"unit-percent-distance":       lab("sound", "setting,distance,level [dB(A)]\nmax,100 %,54\n"),
		"unit-percent-counts":         lab("counts", "size [um],upstream,downstream\n0.3,84 %,4\n"),
		"unit-percent-k":              bench().with("lab/room.csv", strings.Replace(strings.Replace(room, "±\n", "±,k\n", 1), "0.02\n", "0.02,2 %\n", 1)),
		"unit-room-point-lost":        roomWith("5.01,m", "501,m"),
		"unit-room-pm-swapped":        head("item,±,unit,value"),
		"odd-title-semicolons":        table("Claims, second edition\n" + strings.ReplaceAll(claimHead+one, ",", ";")),
		"unit-pm-of-another":          roomWith("5.01,m,0.02", "5.01,m,0.02 W"),
		"unit-header-against-column":  head("item,value [cm],unit,±"),
		"unit-cell-against-column":    roomWith("length,5.01,m", "length,501 cm,m"),
		"unit-cell-against-header":    lab("sound", "setting,distance [m],level [dB(A)]\nmax,100 cm,54\n"),
		"unit-claim-header-column":    table(strings.Replace(claimHead, "value", "value [kW]", 1) + "C1,power,45,W,,,,,,,,\n"),
		"unit-claim-cell-column":      claims("C1,power,45 W,kW,,,,,,,,"),
		"unit-megawatt":               claims("C1,power,45,MW,,,,,,,,"),
		"unit-millijoule":             claims("C1,annual energy,45,mJ,,,,,,,,"),
		"unit-megagram":               claims("C1,carbon mass,45,Mg,,,,,,,,"),
		"unit-background-of-another":  bench().edit("lab/decay.csv", "background,background ±", "background [°C],background ±"),
		"unit-row-against-header":     head("item,value [cm],unit,±\n[-],[m],,[m]"),
		"odd-unit-in-cell":            roomWith("5.01,m,0.02", "5.01 m,,±0.02 m"),
		"odd-unit-pm-cm":              head("item,value,unit,± [cm]").edit("lab/room.csv", "0.02", "2").edit("lab/room.csv", "0.02", "2").edit("lab/room.csv", "0.02", "2"),
		"odd-unit-pm-percent":         roomWith("5.01,m,0.02", "5.01,m,0.4 %"),
		"odd-unit-background-percent": bench().edit("lab/decay.csv", "pm1,2,0.5,PM\non", "pm1,2 ug/m3,25 %,PM\non"),
		"odd-unit-claim-in-cell":      claims("C1,noise,52 dB(A),,,,,,,,,", "C2,delivery rate,300 m³/h,m3/h,,,,,,,,"),
		"odd-unit-milliwatt":          claims("C1,standby power,450,mW,,,,,,,,"),
		"odd-tolerance-percent":       spec().with("lab/tolerances.csv", "attribute,tolerance,unit,source\ndelivery rate,20 %,m3/h,own\n"),

		"odd-two-titles":        table("Claims of the Lumb 12\nas printed in spring\n\n" + claimHead + one),
		"odd-title-two-cells":   table("compiled by,A bench\nday,2026-05-04\n" + claimHead + one),
		"odd-header-marks":      table(strings.NewReplacer("attribute", "Attribute *", "value", "Value:", "unit", "unit*:").Replace(claimHead) + one),
		"odd-field-colons":      spec().with("spec/product.csv", "Field:,Value:\nMaker:,Ostrel Works\nModel :,Lumb 12\n"),
		"odd-units-row":         bench().with("lab/room.csv", strings.Replace(room, "±\n", "±\n,[m],,[m]\n", 1)),
		"odd-units-row-sound":   lab("sound", "setting,distance,level,background\n-,m,dB(A),dB(A)\nmax,1,54,30\n"),
		"odd-total-row":         lab("weights", "item,grams,±\ncarbon,300,2\nTotal,300,\n"),
		"odd-mean-row":          lab("power", "setting,watts\nmax,44\nmax,46\nmean,45\n"),
		"odd-footnotes":         table(claimHead + one + "\n* as printed on the side of the box\nSource: our own photographs\n"),
		"odd-header-repeated":   table(claimHead + one + claimHead + strings.Replace(one, "C1", "C2", 1)),
		"odd-dashes":            bench().edit("lab/decay.csv", "pm1,2,0.5,PM\non", "pm1,---,n/a,PM\non"),
		"odd-pipes":             table(strings.ReplaceAll(claimHead+one, ",", "|")),
		"odd-pipes-drawn":       table("| attribute | value | unit |\n|---|--:|---|\n| noise | 52 | dB(A) |\n"),
		"odd-windows-1252":      bench().with("spec/claims.csv", west.Replace(claimHead+"C1,delivery rate,300,m³/h,,,,,débit d'air,,,\n")).with("lab/room.csv", west.Replace(room)),
		"cell-nan-background":   bench().edit("lab/decay.csv", "pm1,2,0.5,PM\non", "pm1,NaN,,PM\non"),
		"cell-two-numbers":      roomWith("5.01,m,0.02", "5.01 ± 0.02,m,"),
		"csv-table-turned":      bench().with("lab/room.csv", "item,length,width,height\nvalue,5.01,3.59,2.51\nunit,m,m,m\n"),
		"csv-two-tables-in-one": lab("power", "setting,watts\nmax,45\n\nsetting,distance,level\nmax,1,54\n"),
	}
}
