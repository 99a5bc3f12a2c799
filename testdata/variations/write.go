package variations

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Forms are the forms in which a case is written.
var Forms = []string{"csv", "semicolon", "tab", "pipe", "xlsx", "xlsx as text"}

// Write writes the case below a folder in a form. It reports false where the form cannot hold it.
func (c *Case) Write(dir, form string) (bool, error) {
	if len(c.Rich) > 0 && !strings.HasPrefix(form, "xlsx") {
		return false, nil
	}
	put := func(path string, data []byte) error {
		path = filepath.Join(dir, filepath.FromSlash(path))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
		return os.WriteFile(path, data, 0o644)
	}
	for path, text := range c.Logs {
		if err := put(path, []byte(text)); err != nil {
			return true, err
		}
	}
	if strings.HasPrefix(form, "xlsx") {
		for _, book := range []string{"spec", "lab"} {
			data, err := c.workbook(book, form == "xlsx")
			if err != nil {
				return true, err
			}
			if err := put(book+".xlsx", data); err != nil {
				return true, err
			}
		}
		return true, nil
	}
	for _, name := range c.Order {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Comma = map[string]rune{"csv": ',', "semicolon": ';', "tab": '\t', "pipe": '|'}[form]
		rows := c.Tables[name]
		if form == "semicolon" {
			rows = commas(rows)
		}
		if err := w.WriteAll(rows); err != nil {
			return true, err
		}
		if err := put(name+".csv", b.Bytes()); err != nil {
			return true, err
		}
	}
	return true, nil
}

// commas writes decimal numbers as they stand in a file with semicolons.
func commas(rows [][]string) [][]string {
	out := make([][]string, len(rows))
	for i, row := range rows {
		out[i] = append([]string(nil), row...)
		for j, s := range row {
			if strings.Count(s, ".") == 1 && strings.Trim(s, "0123456789.") == "" {
				out[i][j] = strings.Replace(s, ".", ",", 1)
			}
		}
	}
	return out
}

func (c *Case) workbook(book string, typed bool) ([]byte, error) {
	f := excelize.NewFile()
	defer f.Close()
	for _, name := range c.Order {
		sheet, ok := strings.CutPrefix(name, book+"/")
		if !ok {
			continue
		}
		if _, err := f.NewSheet(sheet); err != nil {
			return nil, err
		}
		for i, row := range c.Tables[name] {
			for j, s := range row {
				at, err := excelize.CoordinatesToCellName(j+1, i+1)
				if err != nil {
					return nil, err
				}
				raised := c.Rich[fmt.Sprintf("%s!%s", name, at)]
				v, bad := strconv.ParseFloat(s, 64)
				switch {
				case s == "":
				case raised != "":
					err = f.SetCellRichText(sheet, at, []excelize.RichTextRun{{Text: s}, {Text: raised, Font: &excelize.Font{VertAlign: "superscript"}}})
				case typed && bad == nil && strings.Trim(s, "0123456789.") == "":
					err = f.SetCellValue(sheet, at, v)
				default:
					err = f.SetCellStr(sheet, at, s)
				}
				if err != nil {
					return nil, err
				}
			}
		}
	}
	if err := f.DeleteSheet("Sheet1"); err != nil {
		return nil, err
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
