package main

import (
	"errors"
	"io"
	"path/filepath"
	"strings"
	"time"

	"weighhouse/measure/sheet"
	"weighhouse/verdict"
)

// event is one line of --log-format json. Event is run_started, case_started, case_done, case_unchanged, case_failed, note,
// message, error, written, interrupted or run_done; fields that say nothing about an event are left out.
type event struct {
	Event     string          `json:"event"`
	Time      string          `json:"time"` // RFC 3339, UTC
	Case      string          `json:"case,omitempty"`
	Number    int             `json:"number,omitempty"` // of the case, from 1, in the order of the run
	Of        int             `json:"of,omitempty"`
	Jobs      int             `json:"jobs,omitempty"`
	Out       string          `json:"out,omitempty"`
	Files     []string        `json:"files,omitempty"`
	Counts    map[string]int  `json:"counts,omitempty"` // claims under each verdict, and findings
	Errors    []loggedProblem `json:"errors,omitempty"`
	Text      string          `json:"text,omitempty"`
	Done      *int            `json:"done,omitempty"`
	Unchanged *int            `json:"unchanged,omitempty"`
	Failed    *int            `json:"failed,omitempty"`
	Seconds   *float64        `json:"seconds,omitempty"`
}

// loggedProblem is one error, with its place where it has one.
type loggedProblem struct {
	Place  string `json:"place,omitempty"` // "lab.xlsx: sheet decay, cell F7"
	Book   string `json:"book,omitempty"`
	Sheet  string `json:"sheet,omitempty"`
	Row    int    `json:"row,omitempty"`
	Column int    `json:"column,omitempty"` // from 1
	Header string `json:"header,omitempty"` // of the column
	Text   string `json:"text"`
	Hint   string `json:"hint,omitempty"`
}

// eventLog writes events as JSON, one a line.
type eventLog struct{ w io.Writer }

func (l *eventLog) write(e event) {
	e.Time = time.Now().UTC().Format("2006-01-02T15:04:05.000Z")
	_ = printJSON(l.w, e, "") // a log that cannot be written does not stop the work
}

func (l *eventLog) outcome(i, of int, t task, o outcome) {
	for _, n := range o.notes {
		l.write(event{Event: "note", Case: t.dir, Text: n})
	}
	e := event{Event: "case_" + string(o.state), Case: t.dir, Number: i + 1, Of: of, Seconds: &o.seconds}
	if o.state == failed {
		e.Errors = problemsOf(o.err)
	} else {
		e.Out = t.out
		for _, f := range o.files {
			e.Files = append(e.Files, filepath.Join(t.out, f))
		}
		e.Counts = map[string]int{"findings": o.row.Findings}
		for _, v := range verdict.Outcomes {
			e.Counts[string(v)] = o.row.Counts[v]
		}
	}
	l.write(e)
}

// problemsOf takes an error apart; all problems of a book come, in their order.
func problemsOf(err error) []loggedProblem {
	var ps sheet.Problems
	if !errors.As(err, &ps) {
		return textProblems(err.Error())
	}
	var out []loggedProblem
	if before, ok := strings.CutSuffix(err.Error(), ps.Error()); ok && before != "" {
		out = append(out, loggedProblem{Text: strings.TrimSuffix(strings.TrimSpace(before), ":")})
	}
	for _, p := range ps.Sorted() {
		out = append(out, loggedProblem{Place: p.Place.String(), Book: p.Place.Book, Sheet: p.Place.Sheet, Row: p.Place.Row, Column: p.Place.Col,
			Header: p.Place.Column, Text: p.Text, Hint: p.Hint})
	}
	return out
}

// textProblems takes the lines of an error apart; a hint belongs to the line before it.
func textProblems(text string) (out []loggedProblem) {
	for _, line := range strings.Split(text, "\n") {
		if hint, ok := strings.CutPrefix(line, hintMark); ok && len(out) > 0 {
			out[len(out)-1].Hint = hint
			continue
		}
		out = append(out, loggedProblem{Text: line})
	}
	return out
}
