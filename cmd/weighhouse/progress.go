package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// reporter tells people and programs how a run goes on: results on standard output, in the order of the cases; errors and
// notes on standard error, there also a bar where it is a terminal; with --log-format json nothing but one JSON object a
// line on standard error.
type reporter struct {
	mu      sync.Mutex
	out     screen
	err     io.Writer
	tasks   []task
	several bool
	width   int       // of the column of cases
	bar     *bar      // nil where standard error is no terminal
	log     *eventLog // nil but for --log-format json
	from    time.Time
	count   map[state]int
}

func newReporter(c *cobra.Command, tasks []task, several bool) *reporter {
	r := &reporter{out: newScreen(c.OutOrStdout()), err: c.ErrOrStderr(), tasks: tasks, several: several, from: time.Now(), count: map[state]int{}}
	for _, t := range tasks {
		r.width = max(r.width, min(utf8.RuneCountInString(t.dir), 40))
	}
	r.log = logOf(r.err)
	switch s := newScreen(r.err); {
	case r.log == nil && several && s.terminal && os.Getenv("TERM") != "dumb":
		r.bar = &bar{w: s, width: s.width, of: len(tasks), from: r.from}
	}
	return r
}

func (r *reporter) begin(jobs int, notes []string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.log != nil {
		r.log.write(event{Event: "run_started", Of: len(r.tasks), Jobs: jobs})
	}
	for _, n := range notes {
		r.note("", n)
	}
	r.bar.draw(true)
}

// started says that a case was begun.
func (r *reporter) started(i int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.log != nil {
		r.log.write(event{Event: "case_started", Case: r.tasks[i].dir, Number: i + 1, Of: len(r.tasks)})
	}
}

// finished says at once that a case has ended; print follows in the order of the cases.
func (r *reporter) finished(i int, o outcome) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.count[o.state]++
	if r.log != nil {
		r.log.outcome(i, len(r.tasks), r.tasks[i], o)
	}
	if r.bar != nil {
		r.bar.done++
		if o.state == failed {
			r.bar.failed++
		}
		r.bar.draw(false)
	}
}

// print writes what people read of one case.
func (r *reporter) print(i int, o outcome) {
	r.mu.Lock()
	defer r.mu.Unlock()
	t := r.tasks[i]
	r.bar.clear()
	defer func() { r.bar.draw(false) }()
	if r.log == nil {
		for _, n := range o.notes {
			r.note(t.dir, n)
		}
		if o.err != nil {
			r.errorText(t.dir, o.err)
		}
	}
	switch {
	case !r.several && o.state == failed:
	case !r.several && o.state == unchanged:
		fmt.Fprintf(r.out, "%s is unchanged: %s\n", clean(t.dir), countsOf(o))
	case !r.several:
		fmt.Fprint(r.out, o.table, "\n")
		for _, f := range o.files {
			fmt.Fprintln(r.out, "written:", clean(t.out+string(os.PathSeparator)+f))
		}
	default:
		name := shorten(clean(t.dir), max(r.width, 40))
		name += strings.Repeat(" ", max(0, r.width-utf8.RuneCountInString(name)))
		switch o.state {
		case failed:
			fmt.Fprintf(r.out, "%s  failed\n", name)
		case unchanged:
			fmt.Fprintf(r.out, "%s  %s   unchanged\n", name, countsOf(o))
		default:
			fmt.Fprintf(r.out, "%s  %s\n", name, countsOf(o))
		}
	}
}

func countsOf(o outcome) string {
	return countLine(func(v verdict.Outcome) int { return o.row.Counts[v] }, o.row.Findings)
}

// tableOf is the verdict table of a case.
func (r *reporter) tableOf(a *verdict.Audit) string {
	var b bytes.Buffer
	s := r.out
	s.Writer = &b
	printAudit(s, a)
	return b.String()
}

// note tells what a reader should know that is no error.
func (r *reporter) note(dir, text string) {
	if r.log != nil {
		r.log.write(event{Event: "note", Case: dir, Text: text})
		return
	}
	if dir != "" && r.several {
		text = dir + ": " + text
	}
	fmt.Fprintln(r.err, "note:", clean(text))
}

// problem reports an error.
func (r *reporter) problem(dir string, err error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.bar.clear()
	if r.log != nil {
		r.log.write(event{Event: "error", Case: dir, Errors: problemsOf(err)})
		return
	}
	r.errorText(dir, err)
}

// errorText writes the lines of an error; of several cases each line names its case.
func (r *reporter) errorText(dir string, err error) {
	text := cleanLines(err.Error())
	if r.several && dir != "" {
		lines := strings.Split(text, "\n")
		for i, l := range lines {
			if !strings.HasPrefix(l, " ") {
				lines[i] = clean(dir) + ": " + l
			}
		}
		text = strings.Join(lines, "\n")
	}
	fmt.Fprintln(r.err, text)
}

// interrupted is the last line of a run that was stopped.
func (r *reporter) interrupted(finished int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.bar.clear()
	text := "interrupted: nothing was written"
	if finished > 0 || r.several {
		text = fmt.Sprintf("interrupted: %d of %s have ended; nothing was written of the others, and no index", finished, numeral.Several(len(r.tasks), "case"))
	}
	if r.log != nil {
		r.log.write(event{Event: "interrupted", Text: text, Of: len(r.tasks), Done: ptr(r.count[done]), Unchanged: ptr(r.count[unchanged]), Failed: ptr(r.count[failed])})
		return
	}
	fmt.Fprintln(r.err, text)
	if r.several {
		fmt.Fprintln(r.err, "  hint: the same command with --resume goes on from here")
	}
}

// end is the last line of a run.
func (r *reporter) end(written []string) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.bar.clear()
	if r.log != nil {
		r.log.write(event{Event: "run_done", Of: len(r.tasks), Done: ptr(r.count[done]), Unchanged: ptr(r.count[unchanged]), Failed: ptr(r.count[failed]),
			Files: written, Seconds: ptr(time.Since(r.from).Seconds())})
	}
	if r.several {
		fmt.Fprintf(r.out, "\n%s: %d audited, %d unchanged, %d failed\n", numeral.Several(len(r.tasks), "case"), r.count[done], r.count[unchanged], r.count[failed])
	}
	for _, f := range written {
		fmt.Fprintln(r.out, "written:", clean(f))
	}
}

func ptr[T any](x T) *T { return &x }

// bar shows how far a run is, in one line of a terminal that is drawn over. A nil bar draws nothing.
type bar struct {
	w                io.Writer
	width            int
	of, done, failed int
	from, drawn      time.Time
	shown            bool
}

// draw writes the bar, at most ten times a second unless it is forced.
func (b *bar) draw(force bool) {
	if b == nil || !force && time.Since(b.drawn) < 100*time.Millisecond {
		return
	}
	b.drawn, b.shown = time.Now(), true
	fmt.Fprint(b.w, "\r\x1b[K", b.text(b.drawn.Sub(b.from)))
}

// text is the bar after some time: "█████░░░░░ 5 of 10 cases, 1 failed, about 12 s left".
func (b *bar) text(spent time.Duration) string {
	s := fmt.Sprintf("%d of %s", b.done, numeral.Several(b.of, "case"))
	if b.failed > 0 {
		s += fmt.Sprintf(", %d failed", b.failed)
	}
	if b.done > 0 && b.done < b.of && spent > 2*time.Second {
		left := time.Duration(float64(spent) / float64(b.done) * float64(b.of-b.done))
		switch {
		case left > 90*time.Second:
			s += fmt.Sprintf(", about %d min left", int(left.Minutes()+0.5))
		default:
			s += fmt.Sprintf(", about %d s left", int(left.Seconds()+0.5))
		}
	}
	cells := min(30, b.width-utf8.RuneCountInString(s)-2) // the last column stays free: some terminals break the line there
	if cells < 5 {
		return shorten(s, max(1, b.width-1))
	}
	full := cells * b.done / max(1, b.of)
	return strings.Repeat("█", full) + strings.Repeat("░", cells-full) + " " + s
}

func (b *bar) clear() {
	if b != nil && b.shown {
		fmt.Fprint(b.w, "\r\x1b[K")
		b.shown, b.drawn = false, time.Time{}
	}
}
