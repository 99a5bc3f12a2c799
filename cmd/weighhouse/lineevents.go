package main

import (
	"bytes"
	"errors"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"weighhouse/measure/sheet"
)

// With --log-format json all that a command writes to standard error is one JSON object a line, whatever the command, and
// whatever is wrong with its arguments.

// wantsJSON looks for --log-format json among the arguments, before anything is known of them.
func wantsJSON(args []string) bool {
	if end := slices.Index(args, "--"); end >= 0 {
		args = args[:end]
	}
	for i := len(args) - 1; i >= 0; i-- { // the last one counts, as for other flags
		if value, ok := strings.CutPrefix(args[i], "--log-format="); ok {
			return value == "json"
		}
		if args[i] == "--log-format" && i+1 < len(args) {
			return args[i+1] == "json"
		}
	}
	return false
}

// lineEvents makes events of the lines that are written to it: "note: …" is a note, "written: …" a file, anything else a
// message. Errors come as events already.
type lineEvents struct {
	log     eventLog
	partial []byte // a line that is not ended
}

func (l *lineEvents) Write(p []byte) (int, error) {
	l.partial = append(l.partial, p...)
	for {
		line, rest, ended := bytes.Cut(l.partial, []byte("\n"))
		if !ended {
			return len(p), nil
		}
		l.line(string(line))
		l.partial = rest
	}
}

func (l *lineEvents) line(text string) {
	text = strings.TrimSpace(text)
	if note, ok := strings.CutPrefix(text, "note: "); ok {
		l.log.write(event{Event: "note", Text: note})
	} else if path, ok := strings.CutPrefix(text, "written: "); ok {
		l.log.write(event{Event: "written", Files: []string{path}})
	} else if text != "" {
		l.log.write(event{Event: "message", Text: text})
	}
}

// end writes a line that was not ended.
func (l *lineEvents) end() {
	l.line(string(l.partial))
	l.partial = nil
}

// logOf is the event log of a command, nil where standard error is text.
func logOf(errOut io.Writer) *eventLog {
	if l, ok := errOut.(*lineEvents); ok {
		l.end()
		return &l.log
	}
	return nil
}

// reportError writes an error to standard error: lines of text, or an event with its problems one by one.
func reportError(c *cobra.Command, about string, err error) {
	w := c.ErrOrStderr()
	if log := logOf(w); log != nil {
		log.write(event{Event: "error", Case: about, Errors: problemsOf(err)})
		return
	}
	var ps sheet.Problems
	if about != "" && errors.As(err, &ps) { // their places name the book, not the case
		io.WriteString(w, clean(about)+":\n")
	}
	io.WriteString(w, cleanLines(err.Error())+"\n")
}
