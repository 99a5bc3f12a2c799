package pdf

import (
	"fmt"

	"weighhouse/templates/document"
	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
)

// record sets the test record, the instruments, and how complete the record is.
func (r *report) record() {
	t := r.a.Test
	if len(t.Fields)+len(t.Instruments)+len(t.Complete) == 0 {
		return
	}
	r.Heading(1, "Test record")
	if len(t.Fields) > 0 {
		f := facts()
		for _, x := range t.Fields {
			f.Rows = append(f.Rows, []document.Text{document.T(words.Upper(x.Name)), document.T(numeral.Prose(x.Value))})
		}
		r.Table(f)
	}
	if len(t.Instruments) > 0 {
		r.KeepUnlessBlank(0.3, 7, func() {
			r.Anchor("instruments")
			r.Heading(3, "Instruments")
			f := document.Table{Size: 7.5, Tight: true, RowHeads: true, Columns: []document.Column{{Head: "Id", Width: 7}, {Head: "Measures", Width: 20}, {Head: "Serial", Width: 11}, {Head: "Calibrated", Width: 11},
				{Head: "Accuracy", Width: 14}, {Head: "Note", Width: 37}}}
			for _, x := range t.Instruments {
				f.Rows = append(f.Rows, []document.Text{document.T(x.ID), document.T(x.Measures), document.T(x.Serial), document.T(x.Calibrated), document.T(x.Accuracy), document.T(numeral.Prose(x.Note))})
			}
			r.Table(f)
		})
	}
	if len(t.Complete) == 0 {
		return
	}
	present := 0
	for _, x := range t.Complete {
		if x.Present {
			present++
		}
	}
	r.KeepUnlessBlank(0.3, 7, func() {
		r.Heading(3, fmt.Sprintf("Completeness of the record: %d of %d items", present, len(t.Complete)))
		r.small(words.AboutRecord)
		f := document.Table{Size: 7.6, Tight: true, Columns: []document.Column{{Head: "", Width: 5}, {Head: "Item", Width: 55}, {Head: "Taken from", Width: 25}, {Head: "Present", Width: 15}}}
		for _, x := range t.Complete {
			is := document.T("yes")
			if !x.Present {
				is = document.Text{document.Bold("missing")}
			}
			f.Rows = append(f.Rows, []document.Text{document.T(x.Letter), document.T(x.Item), document.T(x.From), is})
		}
		r.Table(f)
	})
}

// inputs lists every file that was read, with its hash, and what is attached.
func (r *report) inputs(attached []document.Attachment) {
	if len(r.a.Inputs) > 0 {
		r.Heading(1, "Inputs")
		r.small(words.AboutInputs)
		t := document.Table{Size: 7.4, Tight: true, RowHeads: true, Columns: []document.Column{{Head: "File", Width: 30}, {Head: "Size", Width: 13, Align: document.Right}, {Head: "SHA-256", Width: 57}}}
		for _, i := range r.a.Inputs {
			t.Rows = append(t.Rows, []document.Text{document.T(i.Path), document.T(numeral.Bytes(i.Bytes)), {document.Span{Text: i.SHA256, Scale: 0.95}}})
		}
		r.Table(t)
	}
	if len(attached) == 0 {
		return
	}
	r.Heading(3, "Attached to this file")
	t := document.Table{Size: 7.4, Tight: true, RowHeads: true, Columns: []document.Column{{Head: "File", Width: 30}, {Head: "Size", Width: 13, Align: document.Right}, {Head: "What it is", Width: 57}}}
	for _, a := range attached {
		t.Rows = append(t.Rows, []document.Text{document.T(a.Name), document.T(numeral.Bytes(int64(len(a.Data)))), document.T(a.Description)})
	}
	r.Table(t)
}

// replies prints what was sent to the maker, and its answers in full.
func (r *report) replies() {
	if len(r.a.Replies) == 0 {
		return
	}
	r.Anchor("replies")
	r.Heading(1, "What the maker was asked and answered")
	for _, x := range r.a.Replies {
		r.Styled(document.Style{KeepNext: x.Text != ""}, document.Plain(words.Reply(x)))
		if x.Text != "" {
			r.Styled(document.Style{Indent: 10, Bar: true, After: 10, Tag: "BlockQuote"}, document.Plain(x.Text))
		}
	}
}

func (r *report) notes() {
	if cs := words.Checks(r.a); len(cs) > 0 {
		r.Heading(1, "Check this: it may have been written down wrongly")
		var items []document.Text
		for _, c := range cs {
			items = append(items, document.T(c))
		}
		r.SmallList(7.7, items...)
	}
	if words.LeftOut(r.a) != "" {
		r.Anchor("left")
		r.leftOut(words.RefusedHead, words.RefusedLines(r.a))
		r.leftOut(words.NotReadHead, words.NotReadLines(r.a))
	}
	if len(r.a.Notes) == 0 {
		return
	}
	r.Heading(1, "Notes on reading the inputs")
	var items []document.Text
	for _, n := range r.a.Notes {
		items = append(items, document.T(numeral.Prose(n)))
	}
	r.SmallList(7.7, items...)
}

// leftOut lists what was not used.
func (r *report) leftOut(head string, lines []string) {
	if len(lines) == 0 {
		return
	}
	r.Heading(1, head)
	var items []document.Text
	for _, l := range lines {
		items = append(items, document.T(numeral.Prose(l)))
	}
	r.SmallList(7.7, items...)
}

func (r *report) cautions() {
	r.KeepTogether(func() {
		r.Anchor("cautions")
		r.Heading(1, "Cautions")
		for _, c := range r.a.Cautions {
			r.Styled(document.Style{Size: 8.5}, document.Plain(c))
		}
		r.Styled(document.Style{Size: 8.5}, document.Plain(words.NotInPart))
	})
}
