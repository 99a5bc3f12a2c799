package sheet

import (
	"archive/zip"
	"bytes"
	"io"
	"strings"
	"testing"
)

// handmade makes a workbook by hand, as programs other than excelize write them.
func handmade(t testing.TB, workbookPr, strs, sheet string) string {
	t.Helper()
	const ns = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, p := range [][2]string{
		{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/a.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/><Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/><Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/></Types>`},
		{"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="/xl/workbook.xml"/></Relationships>`},
		{"xl/workbook.xml", `<?xml version="1.0" encoding="UTF-8" standalone="yes"?><workbook ` + ns + ` xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><workbookPr` + workbookPr + `/><sheets><sheet name="claims" sheetId="1" r:id="x1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="x1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="/xl/worksheets/a.xml"/><Relationship Id="x2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/><Relationship Id="x3" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/></Relationships>`},
		{"xl/styles.xml", `<styleSheet ` + ns + `><numFmts count="1"><numFmt numFmtId="164" formatCode="dd/mm/yyyy"/></numFmts><cellStyleXfs count="1"><xf numFmtId="22"/></cellStyleXfs><cellXfs count="4"><xf numFmtId="0"/><xf numFmtId="164"/><xf numFmtId="9"/><xf numFmtId="20"/></cellXfs></styleSheet>`},
		{"xl/sharedStrings.xml", `<sst ` + ns + `>` + strs + `</sst>`},
		{"xl/worksheets/a.xml", `<worksheet ` + ns + `>` + sheet + `</worksheet>`},
	} {
		o, err := w.Create(p[0])
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(o, p[1])
	}
	w.Close()
	return out.String()
}

// TestWaysToWriteACell: the forms are those of ECMA-376 part 1, 18.3.1.4 and 18.18.11. Both readers must take each, so
// that a sound book of another program raises no alarm.
func TestWaysToWriteACell(t *testing.T) {
	head := `<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>attribute</t></is></c><c r="B1" t="s"><v>0</v></c><c r="C1" t="str"><v>captured</v></c></row>`
	strs := `<si><t>value</t></si><si><r><rPr><b/></rPr><t xml:space="preserve">rich </t></r><r><t>text</t></r><rPh sb="0" eb="1"><t>no</t></rPh></si><si><t>a&lt;b &#38; c</t></si><si><t/></si><si><t>one_x000D_&#10;two</t></si>`
	for _, c := range []struct {
		name, pr, row string
		a, b, c       string
		row2          int
	}{
		{"rich text", "", `<row r="3"><c r="A3" t="s"><v>1</v></c></row>`, "rich text", "", "", 3},
		{"references", "", `<row r="3"><c r="A3" t="s"><v>2</v></c></row>`, "a<b & c", "", "", 3},
		{"escaped line end", "", `<row r="3"><c r="A3" t="s"><v>4</v></c></row>`, "one\ntwo", "", "", 3},
		{"CDATA", "", `<row r="3"><c r="A3" t="inlineStr"><is><t><![CDATA[a<b]]></t></is></c></row>`, "a<b", "", "", 3},
		{"empty strings", "", `<row r="3"><c r="A3" t="s"><v>3</v></c><c r="B3"><v>5</v></c></row>`, "", "5", "", 3},
		{"no references", "", `<row><c t="inlineStr"><is><t>x</t></is></c><c><v>5</v></c></row>`, "x", "5", "", 2},
		{"boolean", "", `<row r="2"><c r="A2" t="b"><v>1</v></c></row>`, "TRUE", "", "", 2},
		{"date of 1900", "", `<row r="2"><c r="C2" s="1"><v>46146</v></c></row>`, "", "", "2026-05-04", 2},
		{"date of 1904", ` date1904="1"`, `<row r="2"><c r="C2" s="1"><v>44684</v></c></row>`, "", "", "2026-05-04", 2},
		{"date in ISO form", "", `<row r="2"><c r="C2" t="d"><v>2026-05-04T00:00:00</v></c></row>`, "", "", "2026-05-04", 2},
		{"per cent", "", `<row r="2"><c r="B2" s="2"><v>0.97</v></c></row>`, "", "97%", "", 2},
		{"time of day", "", `<row r="2"><c r="B2" s="3"><v>0.586805555555556</v></c></row>`, "", "14:05", "", 2},
		{"binary rounding", "", `<row r="2"><c r="B2"><v>0.30000000000000004</v></c></row>`, "", "0.3", "", 2},
		{"exponent", "", `<row r="2"><c r="B2"><v>1.5E3</v></c></row>`, "", "1500", "", 2},
		{"formula", "", `<row r="2"><c r="B2"><f>1+1</f><v>2</v></c></row>`, "", "2", "", 2},
		{"formula that gives no text", "", `<row r="2"><c r="A2" t="str"><f>""</f><v></v></c><c r="B2"><v>2</v></c></row>`, "", "2", "", 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			book := handmade(t, c.pr, strs, head+c.row+`</sheetData>`)
			b, err := open(t, map[string]string{"spec.xlsx": book}).Book("spec")
			if err != nil {
				t.Fatal(err)
			}
			rows := b.Table("claims").Rows
			if len(rows) != 1 || rows[0].Place.Row != c.row2 {
				t.Fatalf("rows %+v", rows)
			}
			got := []string{rows[0].Cells[0].Text, rows[0].Cells[1].Text, rows[0].Cells[2].Text}
			if want := []string{c.a, c.b, c.c}; strings.Join(got, "|") != strings.Join(want, "|") {
				t.Errorf("got %q, want %q", got, want)
			}
		})
	}
	t.Run("prefix", func(t *testing.T) { // some programs give every element a prefix
		book := handmade(t, "", strs, head+`<row r="2"><c r="B2"><v>2</v></c></row></sheetData>`)
		book = part(t, book, "xl/worksheets/a.xml", func(s string) string {
			return strings.NewReplacer("</", "</x:", "<", "<x:", "xmlns=", "xmlns:x=").Replace(s)
		})
		b, err := open(t, map[string]string{"spec.xlsx": book}).Book("spec")
		if err != nil || len(b.Table("claims").Rows) != 1 || b.Table("claims").Rows[0].Cells[1].Text != "2" {
			t.Errorf("%v", err)
		}
	})
}

// TestPercentIsOneValueInBothForms: a cell that shows 97 % is 97 with the unit %, as a CSV file has it.
func TestPercentIsOneValueInBothForms(t *testing.T) {
	type row struct {
		Value Number `csv:"value"`
	}
	book := handmade(t, "", "", `<sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>value</t></is></c></row><row r="2"><c r="A2" s="2"><v>0.97</v></c></row></sheetData>`)
	for _, files := range []map[string]string{{"spec.xlsx": book}, {"spec/claims.csv": "value\n97%\n"}} {
		b, err := open(t, files).Book("spec")
		if err != nil {
			t.Fatal(err)
		}
		rows, _, ps := Decode[row](b.Table("claims"))
		if len(ps) > 0 || rows[0].Value.Value != 97 || rows[0].Value.Unit != "%" || rows[0].Value.Text != "97%" {
			t.Errorf("%+v %v", rows, ps)
		}
	}
}
