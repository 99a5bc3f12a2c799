package xlsx

import (
	"fmt"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"weighhouse/measure/sheet"
)

// page sets how a sheet prints: one page wide, heads repeated, "page x of y" at the foot.
func (b *Book) page(f *excelize.File, s *Sheet) error {
	size, orientation, wide, high, yes := 9, "landscape", 1, 0, true // 9 is A4 in ECMA-376, 1 is Letter
	if strings.EqualFold(b.Paper, "letter") {
		size = 1
	}
	wide = max(wide, s.PagesWide)
	if s.Portrait {
		orientation = "portrait"
	}
	if err := f.SetPageLayout(s.Name, &excelize.PageLayoutOptions{
		Size: &size, Orientation: &orientation, FitToWidth: &wide, FitToHeight: &high,
	}); err != nil {
		return err
	}
	if err := f.SetSheetProps(s.Name, &excelize.SheetPropsOptions{FitToPage: &yes}); err != nil {
		return err
	}
	side, top, edge := 0.5, 0.8, 0.35
	if err := f.SetPageMargins(s.Name, &excelize.PageLayoutMarginsOptions{
		Left: &side, Right: &side, Top: &top, Bottom: &top, Header: &edge, Footer: &edge,
	}); err != nil {
		return err
	}
	header := strings.ReplaceAll(clip(b.Header, 100), "&", "&&")
	if err := f.SetHeaderFooter(s.Name, &excelize.HeaderFooterOptions{
		OddHeader: "&L" + header + "&R" + strings.ReplaceAll(s.Name, "&", "&&"),
		OddFooter: "&L" + strings.ReplaceAll(clip(b.Title, 80), "&", "&&") + "&Rpage &P of &N",
	}); err != nil {
		return err
	}
	if s.FreezeRows > 0 {
		titles := On(s.Name, fmt.Sprintf("$%d:$%d", 1, s.FreezeRows))
		if wide > 1 && s.FreezeCols > 0 {
			titles = On(s.Name, fmt.Sprintf("$A:$%s", sheet.ColumnLetters(s.FreezeCols))) + "," + titles
		}
		return f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: s.Name, RefersTo: titles})
	}
	return nil
}

// clip shortens a text to n runes.
func clip(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-1]) + "…"
}

// head sets what stands before and beside the rows: widths, panes, filter, lists, remarks, emphasis.
func head(f *excelize.File, sw *excelize.StreamWriter, looks *looks, s *Sheet) error {
	for i, c := range slices.Backward(s.Columns) { // the library puts each before those it has: so they come in order, as programs expect
		if c.Width > 0 {
			if err := sw.SetColWidth(i+1, i+1, c.Width); err != nil {
				return err
			}
		}
		if c.Look != (Look{}) {
			id, err := looks.id(c.Look)
			if err != nil {
				return err
			}
			if err := sw.SetColStyle(i+1, i+1, id); err != nil {
				return err
			}
		}
	}
	if s.FreezeRows > 0 || s.FreezeCols > 0 {
		pane := "bottomLeft"
		switch {
		case s.FreezeRows > 0 && s.FreezeCols > 0:
			pane = "bottomRight"
		case s.FreezeCols > 0:
			pane = "topRight"
		}
		if err := sw.SetPanes(&excelize.Panes{
			Freeze: true, XSplit: s.FreezeCols, YSplit: s.FreezeRows,
			TopLeftCell: At(s.FreezeCols+1, s.FreezeRows+1), ActivePane: pane,
		}); err != nil {
			return err
		}
	}
	if s.Filter && s.FreezeRows > 0 && len(s.Rows) > s.FreezeRows {
		area := At(1, s.FreezeRows) + ":" + At(len(s.Rows[s.FreezeRows-1]), len(s.Rows))
		if err := f.AutoFilter(s.Name, area, nil); err != nil {
			return err
		}
	}
	for _, e := range s.Emphasis {
		font := &excelize.Font{Bold: !e.Italic, Italic: e.Italic}
		id, err := f.NewConditionalStyle(&excelize.Style{Font: font})
		if err != nil {
			return err
		}
		if err := f.SetConditionalFormat(s.Name, e.Range, []excelize.ConditionalFormatOptions{
			{Type: "cell", Criteria: "==", Value: `"` + e.Word + `"`, Format: &id},
		}); err != nil {
			return err
		}
	}
	for _, l := range s.Lists {
		if err := list(f, s.Name, l); err != nil {
			return fmt.Errorf("drop-down list of column %d: %w", l.Col, err)
		}
	}
	for _, n := range s.Notes {
		lines := 1 + len(n.Text)/38 + strings.Count(n.Text, "\n")
		if err := f.AddComment(s.Name, excelize.Comment{
			Cell: At(n.Col, n.Row), Author: "weighhouse", Width: 280, Height: uint(24 + 17*lines),
			Paragraph: []excelize.RichTextRun{{Text: n.Text}},
		}); err != nil {
			return err
		}
	}
	return nil
}

func list(f *excelize.File, name string, l List) error {
	dv := excelize.NewDataValidation(true)
	dv.SetSqref(Down(l.Col, l.First, l.Last))
	if err := dv.SetDropList(l.Words); err != nil {
		return err
	}
	if l.Fixed {
		dv.SetError(excelize.DataValidationErrorStyleWarning, "Not one of the fixed words",
			clip("Choose from the list: "+strings.Join(l.Words, ", "), 220))
	}
	if l.Prompt != "" {
		dv.SetInput(clip(l.Title, 32), clip(l.Prompt, 255))
	}
	return f.AddDataValidation(name, dv)
}
