package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"strings"
)

// workbook is an .xlsx file before it is packed: its parts by name, in the order of names.
type workbook struct {
	parts map[string]string
	order []string
}

// sheet is a sheet by its name and rows. A cell is a string (a shared text), an int or a float64, a dated number, or raw:
// what follows `<c r="B2"` up to `</c>`. nil is blank.
type sheet struct {
	name string
	rows [][]any
}

type dated float64 // a number that its style shows as a date

type raw string

const (
	header = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"
	mainNS = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	relNS  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	packNS = "http://schemas.openxmlformats.org/package/2006"
)

// book makes a workbook of sheets. Texts are shared; style 1 is a date.
func book(sheets ...sheet) workbook {
	w := workbook{parts: map[string]string{}}
	var texts []string
	index := map[string]int{}
	var types, list, rels strings.Builder
	for i, s := range sheets {
		var b strings.Builder
		fmt.Fprintf(&b, `%s<worksheet xmlns="%s"><sheetData>`, header, mainNS)
		for r, row := range s.rows {
			fmt.Fprintf(&b, `<row r="%d">`, r+1)
			for c, cell := range row {
				at := fmt.Sprintf(`<c r="%c%d"`, 'A'+c, r+1)
				switch v := cell.(type) {
				case nil:
				case string:
					n, ok := index[v]
					if !ok {
						n = len(texts)
						index[v], texts = n, append(texts, v)
					}
					fmt.Fprintf(&b, `%s t="s"><v>%d</v></c>`, at, n)
				case dated:
					fmt.Fprintf(&b, `%s s="1"><v>%v</v></c>`, at, float64(v))
				case raw:
					b.WriteString(at + string(v) + `</c>`)
				default:
					fmt.Fprintf(&b, `%s><v>%v</v></c>`, at, v)
				}
			}
			b.WriteString("</row>")
		}
		b.WriteString("</sheetData></worksheet>")
		w.add(fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), b.String())
		fmt.Fprintf(&types, `<Override PartName="/xl/worksheets/sheet%d.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`, i+1)
		fmt.Fprintf(&list, `<sheet name="%s" sheetId="%d" r:id="rId%d"/>`, s.name, i+1, i+1)
		fmt.Fprintf(&rels, `<Relationship Id="rId%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>`, i+1, relNS, i+1)
	}
	fmt.Fprintf(&rels, `<Relationship Id="rId98" Type="%s/styles" Target="styles.xml"/><Relationship Id="rId99" Type="%s/sharedStrings" Target="sharedStrings.xml"/>`, relNS, relNS)
	w.add("[Content_Types].xml", header+`<Types xmlns="`+packNS+`/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/>`+types.String()+`</Types>`)
	w.add("_rels/.rels", header+`<Relationships xmlns="`+packNS+`/relationships"><Relationship Id="rId1" Type="`+relNS+`/officeDocument" Target="xl/workbook.xml"/></Relationships>`)
	w.add("xl/workbook.xml", header+`<workbook xmlns="`+mainNS+`" xmlns:r="`+relNS+`"><workbookPr/><sheets>`+list.String()+`</sheets></workbook>`)
	w.add("xl/_rels/workbook.xml.rels", header+`<Relationships xmlns="`+packNS+`/relationships">`+rels.String()+`</Relationships>`)
	w.add("xl/styles.xml", header+`<styleSheet xmlns="`+mainNS+`"><fonts count="1"><font/></fonts><fills count="1"><fill/></fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="14" applyNumberFormat="1"/></cellXfs></styleSheet>`)
	var b strings.Builder
	fmt.Fprintf(&b, `%s<sst xmlns="%s" count="%d" uniqueCount="%d">`, header, mainNS, len(texts), len(texts))
	for _, t := range texts {
		b.WriteString(`<si><t xml:space="preserve">` + escape.Replace(t) + `</t></si>`)
	}
	w.add("xl/sharedStrings.xml", b.String()+`</sst>`)
	return w
}

var escape = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;")

func (w *workbook) add(name, content string) {
	if _, ok := w.parts[name]; !ok {
		w.order = append(w.order, name)
	}
	w.parts[name] = content
}

// edit is a copy of w with the first occurrence of old in a part replaced.
func (w workbook) edit(part, old, fresh string) workbook {
	if !strings.Contains(w.parts[part], old) {
		panic(fmt.Sprintf("%s does not hold %q", part, old))
	}
	return w.with(part, strings.Replace(w.parts[part], old, fresh, 1))
}

// with is a copy of w with another content of a part.
func (w workbook) with(part, content string) workbook {
	out := workbook{parts: map[string]string{}, order: append([]string(nil), w.order...)}
	for p, c := range w.parts {
		out.parts[p] = c
	}
	out.add(part, content)
	return out
}

// without is a copy of w that lacks a part.
func (w workbook) without(part string) workbook {
	out := workbook{parts: w.parts}
	for _, p := range w.order {
		if p != part {
			out.order = append(out.order, p)
		}
	}
	return out
}

// pack makes the zip file.
func (w workbook) pack() string {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, name := range w.order {
		f, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate})
		if err == nil {
			_, err = f.Write([]byte(w.parts[name]))
		}
		if err != nil {
			panic(err)
		}
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return out.String()
}

// entry is one file of a zip whose header says what it is told to.
type entry struct {
	zip.FileHeader
	data string
}

func rawZip(entries ...entry) string {
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for i := range entries {
		f, err := z.CreateRaw(&entries[i].FileHeader)
		if err == nil {
			_, err = f.Write([]byte(entries[i].data))
		}
		if err != nil {
			panic(err)
		}
	}
	if err := z.Close(); err != nil {
		panic(err)
	}
	return out.String()
}
