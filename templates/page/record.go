package page

import (
	"fmt"

	"weighhouse/templates/numeral"
	"weighhouse/templates/words"
	"weighhouse/verdict"
)

// infoBlock is a table that informs and judges nothing.
type infoBlock struct {
	Title, Note string
	Table       *table
}

// replyBlock is what was sent to the maker, and its answer in full.
type replyBlock struct{ Text, Answer string }

// information sets the tables that inform, and the history of captures.
func (v *view) information(a *verdict.Audit, n *anchors) {
	for _, i := range a.Info {
		var cols []column
		for _, h := range i.Header {
			cols = append(cols, column{Head: orText(h, numeral.Dash)})
		}
		t := n.table("information", i.Title, cols...)
		for _, r := range i.Rows {
			var cells [][]span
			for _, c := range r {
				cells = append(cells, plain(c))
			}
			t.add(cells...)
		}
		v.Info = append(v.Info, infoBlock{i.Title, i.Note, t})
	}
	v.history(a, n)
	v.instruments(a, n)
	if len(a.Inputs) > 0 {
		t := n.table("inputs", "Files that were read", column{Head: "File"}, column{Head: "Size", Num: true}, column{Head: "SHA-256", Code: true})
		for _, x := range a.Inputs {
			t.add(plain(x.Path), plain(numeral.Bytes(x.Bytes)), plain(x.SHA256))
		}
		v.Inputs = t
	}
}

func (v *view) instruments(a *verdict.Audit, n *anchors) {
	if len(a.Test.Instruments) > 0 {
		t := n.table("instruments", "Instruments, as the lab book names them", column{Head: "Id"}, column{Head: "Measures"}, column{Head: "Serial"}, column{Head: "Calibrated"}, column{Head: "Accuracy"}, column{Head: "Note", Wide: true})
		for _, x := range a.Test.Instruments {
			t.add(plain(x.ID), plain(x.Measures), plain(x.Serial), plain(x.Calibrated), plain(x.Accuracy), plain(x.Note))
		}
		v.Instruments = t.lean()
	}
	if len(a.Test.Complete) == 0 {
		return
	}
	present := 0
	t := n.table("complete", "Completeness of the record, item by item", column{Head: "Letter"}, column{Head: "Item", Wide: true}, column{Head: "Taken from"}, column{Head: "Present"})
	for _, x := range a.Test.Complete {
		is := span{Text: "missing", Bold: true}
		if x.Present {
			present++
			is = span{Text: "yes"}
		}
		t.add(plain(x.Letter), plain(x.Item), plain(x.From), []span{is})
	}
	v.Complete = t
	v.CompleteTitle = fmt.Sprintf("Completeness of the record: %d of %d items", present, len(a.Test.Complete))
}

// record sets the test record and the correspondence.
func (v *view) record(a *verdict.Audit) {
	for _, x := range a.Test.Fields {
		v.Record.say(words.Upper(x.Name), x.Value)
	}
	v.HasRecord = len(v.Record) > 0 || v.Instruments != nil || v.Complete != nil
	for _, x := range a.Replies {
		v.Replies = append(v.Replies, replyBlock{words.Reply(x), x.Text})
	}
}
