package xlsx

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math"
	"sort"
	"strings"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"
)

// Book is a workbook to be written.
type Book struct {
	Title    string
	Subject  string
	Keywords string
	About    string // a remark on the whole book
	Date     string // YYYY-MM-DD, the date of the document; its clock time is midnight UTC
	Paper    string // "A4" (also for "") or "Letter"
	Header   string // left half of the printed header
	Sheets   []*Sheet
}

// maxCell is the number of UTF-16 units that a cell can hold.
const maxCell = 32767

// Write writes the book. The same book gives the same bytes.
func (b *Book) Write(w io.Writer) error {
	f := excelize.NewFile()
	defer f.Close()
	if err := f.SetDefaultFont(face); err != nil {
		return err
	}
	if err := b.properties(f); err != nil {
		return err
	}
	looks := &looks{file: f, ids: map[Look]int{}}
	for i, s := range b.Sheets {
		var err error
		if i == 0 {
			err = f.SetSheetName("Sheet1", s.Name)
		} else {
			_, err = f.NewSheet(s.Name)
		}
		if err == nil {
			err = b.sheet(f, looks, s)
		}
		if err != nil {
			return fmt.Errorf("sheet %s: %w", s.Name, err)
		}
	}
	if t := f.ContentTypes; t != nil {
		sort.Slice(t.Defaults, func(i, j int) bool { return t.Defaults[i].Extension < t.Defaults[j].Extension })
		sort.Slice(t.Overrides, func(i, j int) bool { return t.Overrides[i].PartName < t.Overrides[j].PartName })
	}
	buf, err := f.WriteToBuffer()
	if err != nil {
		return err
	}
	return repack(w, buf.Bytes())
}

// properties sets the document's title and dates, and asks for a calculation on opening.
func (b *Book) properties(f *excelize.File) error {
	at := b.Date + "T00:00:00Z"
	if b.Date == "" {
		at = "2026-01-01T00:00:00Z"
	}
	if err := f.SetDocProps(&excelize.DocProperties{
		Title: b.Title, Subject: b.Subject, Keywords: b.Keywords, Description: b.About, Creator: "weighhouse", LastModifiedBy: "weighhouse",
		Created: at, Modified: at, Language: "en",
	}); err != nil {
		return err
	}
	if err := f.SetAppProps(&excelize.AppProperties{Application: "weighhouse"}); err != nil {
		return err
	}
	yes := true
	return f.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &yes})
}

func (b *Book) sheet(f *excelize.File, looks *looks, s *Sheet) error {
	cols := len(s.Columns)
	for _, r := range s.Rows {
		cols = max(cols, len(r))
	}
	if len(s.Rows) > 0 && cols > 0 {
		if err := f.SetSheetDimension(s.Name, "A1:"+At(cols, len(s.Rows))); err != nil {
			return err
		}
	}
	if err := b.page(f, s); err != nil {
		return err
	}
	sw, err := f.NewStreamWriter(s.Name)
	if err != nil {
		return err
	}
	if err := head(f, sw, looks, s); err != nil {
		return err
	}
	for i, r := range s.Rows {
		if len(r) == 0 {
			continue
		}
		row := make([]any, len(r))
		for j, c := range r {
			v, err := value(c)
			if err != nil {
				return fmt.Errorf("cell %s: %w", At(j+1, i+1), err)
			}
			if c.Look == (Look{}) && j < len(s.Columns) {
				c.Look = s.Columns[j].Look
			}
			if c.Look.Head && s.overNumbers(i, j) {
				c.Look.Right = true
			}
			if v == nil && c.Formula == "" && c.Look == (Look{}) {
				continue
			}
			id, err := looks.id(c.Look)
			if err != nil {
				return err
			}
			row[j] = excelize.Cell{StyleID: id, Formula: c.Formula, Value: v}
		}
		var opts []excelize.RowOpts
		if m, ok := s.wide[i+1]; ok {
			if m.cols > 1 {
				if err := sw.MergeCell(At(1, i+1), At(m.cols, i+1)); err != nil {
					return err
				}
			}
			opts = append(opts, excelize.RowOpts{Height: m.height})
		} else if h := s.height(r); h > 0 {
			opts = append(opts, excelize.RowOpts{Height: h})
		}
		if err := sw.SetRow(At(1, i+1), row, opts...); err != nil {
			return err
		}
	}
	return sw.Flush()
}

// value checks a cell's content: a number must be finite, and a text must fit.
func value(c Cell) (any, error) {
	switch v := c.Value.(type) {
	case nil, bool, int:
		return v, nil
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("the number %v cannot stand in a cell", v)
		}
		return v, nil
	case string:
		v = strings.ReplaceAll(strings.ToValidUTF8(v, "\uFFFD"), "\r\n", "\n")
		if u := utf16.Encode([]rune(v)); len(u) > maxCell {
			v = string(utf16.Decode(u[:maxCell-60])) + " … (cut here: a cell holds no more; see audit.json)"
		}
		if v == "" && c.Formula == "" {
			return nil, nil
		}
		return v, nil
	}
	return nil, fmt.Errorf("a %T cannot stand in a cell", c.Value)
}

// repack writes the parts of the archive in a fixed order: the library writes streamed sheets as a map yields them.
func repack(w io.Writer, data []byte) error {
	zr, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return err
	}
	files := append([]*zip.File(nil), zr.File...)
	sort.Slice(files, func(i, j int) bool {
		a, b := files[i].Name, files[j].Name
		if first := "[Content_Types].xml"; a == first || b == first {
			return a == first && b != first
		}
		return a < b
	})
	zw := zip.NewWriter(w)
	for _, f := range files {
		if err := copyPart(zw, f); err != nil {
			return fmt.Errorf("part %s: %w", f.Name, err)
		}
	}
	return zw.Close()
}

func copyPart(zw *zip.Writer, f *zip.File) error {
	r, err := f.Open()
	if err != nil {
		return err
	}
	defer r.Close()
	to, err := zw.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate})
	if err != nil {
		return err
	}
	data, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	_, err = to.Write(own(f.Name, data))
	return err
}
