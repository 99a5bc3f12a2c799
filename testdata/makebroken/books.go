package main

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"hash/crc32"
	"io"
	"strings"
)

const (
	claimsPart = "xl/worksheets/sheet2.xml"
	bookPart   = "xl/workbook.xml"
	relsPart   = "xl/_rels/workbook.xml.rels"
)

// soundBook is a sound spec workbook: sheets product and claims, twelve claims in rows 2 to 13.
func soundBook(more ...sheet) workbook {
	rows := [][]any{{"attribute", "value", "unit", "captured", "wording"}}
	for i := range 12 {
		rows = append(rows, []any{"noise", 40 + i, "dB(A)", dated(46132), fmt.Sprintf("level %d", i+1)})
	}
	return book(append([]sheet{{"product", [][]any{{"field", "value"}, {"maker", "Ostrel Works"}, {"model", "Lumb 12"}}}, {"claims", rows}}, more...)...)
}

// oneClaim is a spec workbook of one claim, with this value and this day of capture.
func oneClaim(value, captured any) workbook {
	return book(sheet{"product", [][]any{{"field", "value"}, {"maker", "Ostrel Works"}, {"model", "Lumb 12"}}},
		sheet{"claims", [][]any{{"attribute", "value", "unit", "captured"}, {"noise", value, "dB(A)", captured}}})
}

func asSpec(w workbook) files { return files{"spec.xlsx": w.pack()} }

// workbooks are workbooks that are damaged, are none, or hold cells that have no value.
func workbooks() map[string]files {
	sound := soundBook()
	packed := sound.pack()
	claims := sound.parts[claimsPart]
	b7 := `<c r="B7"><v>45</v></c>`
	change := func(old, fresh string) files { return asSpec(sound.edit(claimsPart, old, fresh)) }
	return map[string]files{
		"book-empty":           {"spec.xlsx": ""},
		"book-cut":             {"spec.xlsx": packed[:len(packed)/2]},
		"book-is-text":         {"spec.xlsx": "attribute,value\nnoise,52\n"},
		"book-is-old-xls":      {"spec.xlsx": "\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + strings.Repeat("\x00", 504)},
		"book-is-another-zip":  {"spec.xlsx": workbook{parts: map[string]string{"letter.txt": "hello"}, order: []string{"letter.txt"}}.pack()},
		"book-is-a-macro-book": {"spec.xlsm": packed},
		"book-is-ods":          {"spec.ods": packed},
		"book-password":        {"spec.xlsx": rawZip(entry{zip.FileHeader{Name: bookPart, Flags: 1, CompressedSize64: 4, UncompressedSize64: 4}, "xxxx"})},
		"book-bomb-declared":   {"spec.xlsx": rawZip(entry{FileHeader: zip.FileHeader{Name: bookPart, Method: zip.Deflate, UncompressedSize64: 600 << 20}})},
		"book-bomb-total":      {"spec.xlsx": rawZip(entry{FileHeader: zip.FileHeader{Name: "a.xml", UncompressedSize64: 300 << 20}}, entry{FileHeader: zip.FileHeader{Name: "b.xml", UncompressedSize64: 300 << 20}})},
		"book-part-twice":      {"spec.xlsx": rawZip(entry{FileHeader: zip.FileHeader{Name: bookPart}}, entry{FileHeader: zip.FileHeader{Name: "XL/workbook.xml"}})},
		"book-bomb-lying":      {"spec.xlsx": lyingSize(sound)},
		"book-bad-checksum":    {"spec.xlsx": badChecksum(sound)},
		"book-no-main-part":    asSpec(sound.without(bookPart)),
		"book-no-sheet-part":   asSpec(sound.without(claimsPart)),
		"book-no-relation":     asSpec(sound.edit(relsPart, `Id="rId2"`, `Id="rId77"`)),
		"book-no-texts":        asSpec(sound.without("xl/sharedStrings.xml")),
		"book-one-part-twice":  asSpec(sound.edit(bookPart, "</sheets>", `<sheet name="reply" sheetId="9" r:id="rId2"/></sheets>`)),
		"book-too-many-sheets": asSpec(manySheets(sound)),
		"book-same-sheet-name": asSpec(soundBook(sheet{"Claims_", [][]any{{"attribute"}, {"power"}}})),
		"book-not-xml":         asSpec(sound.with(bookPart, "attribute,value\n")),
		"book-main-is-a-sheet": asSpec(sound.with(bookPart, claims)),

		"sheet-cut":               asSpec(sound.with(claimsPart, claims[:len(claims)*2/3])),
		"sheet-empty-part":        asSpec(sound.with(claimsPart, "")),
		"sheet-mismatched-tag":    change(b7, `<c r="B7"><v>45</c></v>`),
		"sheet-tag-not-closed":    change(b7, `<c r="B7"><v>45</v>`),
		"sheet-strange-element":   change(`<row r="7">`, `<rwo r="7">`),
		"sheet-row-twice":         change(`<row r="7">`, `<row r="6">`),
		"sheet-rows-backwards":    change(`<row r="7">`, `<row r="3">`),
		"sheet-cell-in-wrong-row": change(`<c r="B7">`, `<c r="B8">`),
		"sheet-cell-twice":        change(`<c r="C7"`, `<c r="B7"`),
		"sheet-row-too-far":       change(`<row r="13"><c r="A13"`, `<row r="1048577"><c r="A1048577"`),
		"sheet-column-too-far":    change(`<c r="E7"`, `<c r="XFE7"`),
		"sheet-nested-deep":       change("</worksheet>", strings.Repeat("<a>", 100)+strings.Repeat("</a>", 100)+"</worksheet>"),
		"sheet-document-type":     change("<worksheet", `<!DOCTYPE w [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]><worksheet`),
		"sheet-unknown-reference": change(b7, `<c r="B7"><v>&many;</v></c>`),
		"sheet-two-roots":         change("</worksheet>", "</worksheet><worksheet/>"),
		"sheet-text-after-end":    change("</worksheet>", "</worksheet>and more"),
		"sheet-no-rows-part":      asSpec(sound.with(claimsPart, header+`<worksheet xmlns="`+mainNS+`"/>`)),
		"sheet-control-character": change(b7, "<c r=\"B7\"><v>4\x015</v></c>"),
		"sheet-not-utf-8":         change(b7, "<c r=\"B7\"><v>4\xe95</v></c>"),
		"sheet-value-no-header":   change(`</row><row r="8">`, `<c r="G7"><v>1</v></c></row><row r="8">`),

		"cell-error":                change(b7, `<c r="B7" t="e"><f>1/0</f><v>#DIV/0!</v></c>`),
		"cell-error-in-a-word":      asSpec(book(sheet{"claims", [][]any{{"attribute", "value", "unit"}, {"noise", 52, raw(` t="e"><f>VLOOKUP(1,A1:A2,2)</f><v>#N/A</v>`)}}})),
		"cell-formula-no-value":     change(b7, `<c r="B7"><f>SUM(B2:B6)</f></c>`),
		"cell-text-not-there":       change(`<c r="A7" t="s"><v>10</v>`, `<c r="A7" t="s"><v>999</v>`),
		"cell-text-index-no-number": change(`<c r="A7" t="s"><v>10</v>`, `<c r="A7" t="s"><v>-1</v>`),
		"cell-no-number":            change(b7, `<c r="B7"><v>NaN</v></c>`),
		"cell-infinite":             change(b7, `<c r="B7"><v>1e999</v></c>`),
		"cell-truth-value":          change(b7, `<c r="B7" t="b"><v>1</v></c>`),
		"cell-date-for-a-range":     asSpec(oneClaim(dated(46181), nil)),
		"cell-number-for-a-date":    asSpec(oneClaim(52, 46132)),
		"cell-date-as-text-unclear": asSpec(oneClaim(52, "04/05/2026")),
		"cell-date-not-possible":    asSpec(oneClaim(52, "2026-02-30")),
		"cell-number-as-words":      asSpec(oneClaim("fifty", nil)),
		"cell-header-twice":         asSpec(book(sheet{"claims", [][]any{{"attribute", "value", "unit", "Value [dB(A)]"}, {"noise", 52, "dB(A)", 53}}})),
	}
}

// badChecksum is the workbook with one byte of a stored part changed after packing.
func badChecksum(w workbook) string {
	var entries []entry
	for _, name := range w.order {
		content := w.parts[name]
		h := zip.FileHeader{Name: name, CompressedSize64: uint64(len(content)), UncompressedSize64: uint64(len(content)), CRC32: crc32.ChecksumIEEE([]byte(content))}
		if name == claimsPart {
			h.CRC32++
		}
		entries = append(entries, entry{h, content})
	}
	return rawZip(entries...)
}

// manySheets adds 600 chart sheets, which hold no cells.
func manySheets(w workbook) workbook {
	var list, rels strings.Builder
	for i := range 600 {
		fmt.Fprintf(&list, `<sheet name="c%d" sheetId="%d" r:id="c%d"/>`, i, i+100, i)
		fmt.Fprintf(&rels, `<Relationship Id="c%d" Type="%s/chartsheet" Target="chartsheets/c.xml"/>`, i, relNS)
	}
	return w.edit(bookPart, "</sheets>", list.String()+"</sheets>").edit(relsPart, "</Relationships>", rels.String()+"</Relationships>")
}

// lyingSize is the workbook with a part that unpacks to 64 MB of spaces and says that it is 100 bytes long.
func lyingSize(w workbook) string {
	var entries []entry
	for _, name := range w.order {
		content := w.parts[name]
		e := entry{zip.FileHeader{Name: name, CompressedSize64: uint64(len(content)), UncompressedSize64: uint64(len(content)), CRC32: crc32.ChecksumIEEE([]byte(content))}, content}
		if name == claimsPart {
			var packed bytes.Buffer
			d, err := flate.NewWriter(&packed, flate.BestCompression)
			if err != nil {
				panic(err)
			}
			io.WriteString(d, content)
			spaces := strings.Repeat(" ", 1<<20)
			for range 64 {
				io.WriteString(d, spaces)
			}
			d.Close()
			e = entry{zip.FileHeader{Name: name, Method: zip.Deflate, CompressedSize64: uint64(packed.Len()), UncompressedSize64: 100}, packed.String()}
		}
		entries = append(entries, e)
	}
	return rawZip(entries...)
}
