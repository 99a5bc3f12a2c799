package sheet

import "fmt"

// struckText is said of a cell that its style strikes through.
const struckText = "the cell is struck through, accepted is a cell that counts: take the strike-through away, or leave the row out"

// richText follows the runs of one text of a workbook: which characters are raised, lowered or struck through.
type richText struct {
	mark         string // of the run at hand, "" for a plain one
	plain, aside []byte
	what         string // of the first run that is not plain
}

// start takes note of an element that opens inside a text.
func (r *richText) start(x *xmlScanner) {
	switch string(x.name) {
	case "r":
		r.mark = ""
	case "vertAlign":
		switch v, _ := x.attr("val"); v {
		case "superscript", "subscript":
			r.mark = v
		}
	case "strike", "dstrike":
		if v, ok := x.attr("val"); !ok || v != "0" && v != "false" {
			r.mark = "struck through"
		}
	}
}

// add takes the characters of a run.
func (r *richText) add(text []byte) {
	if r.mark == "" {
		r.plain = append(r.plain, text...)
		return
	}
	if r.what == "" && clean(string(text)) != "" {
		r.what = r.mark
	}
	r.aside = append(r.aside, text...)
}

// done words what is not plain in the text, "" where all is, and begins anew.
func (r *richText) done() (said string) {
	if r.what != "" {
		said = fmt.Sprintf("%s in it is %s; without it the cell reads %s", quote(clean(string(r.aside))), r.what, quote(clean(string(r.plain))))
	}
	*r = richText{plain: r.plain[:0], aside: r.aside[:0]}
	return said
}
