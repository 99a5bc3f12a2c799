package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"weighhouse/templates/index"
	"weighhouse/templates/numeral"
	"weighhouse/verdict"
)

// A run of audits:
//   - cases are independent; one that fails is reported with all its errors and does not stop the rest;
//   - as many as --jobs are worked on at a time, and results are printed in the order of the cases;
//   - memory grows with the jobs and not with the cases: of a case that is done, a line and a row of the index stay
//     (about half a kilobyte), and no case starts that is far ahead of the one to be printed next;
//   - an interrupt (SIGINT, SIGTERM) starts no further case, lets the writing of files that is under way end, drops what is
//     still being computed, and exits with status 1. No half-written and no temporary file is left. A second interrupt
//     ends the program at once.

// batch is a run of audits.
type batch struct {
	job
	tasks  []task
	jobs   int
	resume bool
	record bool // write audit.sha256, by which a later --resume knows the outputs
	report *reporter

	write sync.RWMutex // held for reading while a case is written; closed stands under it
	shut  bool         // no case may be written any more
}

// state is what became of a case in a run.
type state string

const (
	done      state = "done"
	unchanged state = "unchanged"
	failed    state = "failed"
)

// outcome is what is kept of a case: no audit and no file.
type outcome struct {
	state   state
	row     index.Row
	table   string // the verdict table, where there is but one case
	files   []string
	notes   []string
	err     error
	seconds float64
}

// auditCases audits every case; one bad case is reported and does not stop the rest.
func auditCases(c *cobra.Command, cases []string, f auditFlags) error {
	j, err := f.check()
	if err != nil {
		return err
	}
	tasks, notes, err := plan(cases, f.each, f.out)
	if err != nil {
		return err
	}
	to, err := f.indexFolder(c.Flags().Changed("index"), len(tasks))
	if err != nil {
		return err
	}
	several := len(tasks) > 1 || len(f.each) > 0
	b := &batch{job: j, tasks: tasks, jobs: min(f.jobs, len(tasks)), resume: f.resume, record: several || f.resume}
	b.report = newReporter(c, tasks, several)
	ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	context.AfterFunc(ctx, stop) // the second interrupt ends the program
	b.report.begin(b.jobs, notes)
	rows, complete := b.run(ctx)
	if !complete {
		b.report.interrupted(len(rows))
		return errFailed
	}
	return b.finish(rows, to)
}

// finish writes the index and gives the run's exit status.
func (b *batch) finish(rows []index.Row, to string) error {
	bad, found := false, false
	for _, r := range rows {
		bad = bad || r.State == index.Failed
		for o := range b.failOn {
			found = found || r.Counts[o] > 0
		}
	}
	var written []string
	if to != "" {
		var err error
		if written, err = writeIndex(to, rows); err != nil {
			b.report.problem("", err)
			bad = true
		}
	}
	b.report.end(written)
	switch {
	case bad:
		return errFailed
	case found:
		return errFound
	}
	return nil
}

// run works through the tasks and prints their outcomes in order. It gives a row of the index for each case that is done,
// and whether that is all of them.
func (b *batch) run(ctx context.Context) (rows []index.Row, complete bool) {
	type result struct {
		i int
		outcome
	}
	feed := make(chan int)
	results := make(chan result, b.jobs) // a worker hands in one at a time: it never waits
	for range b.jobs {
		go func() {
			for i := range feed {
				b.report.started(i)
				o, files := b.work(b.tasks[i])
				b.write.RLock()
				if b.shut {
					b.write.RUnlock()
					return
				}
				b.save(b.tasks[i], &o, files)
				results <- result{i, o}
				b.write.RUnlock()
			}
		}()
	}
	defer close(feed)
	pending := map[int]outcome{}
	next, started := 0, 0
	flush := func(all bool) {
		for ; next < started; next++ {
			o, ok := pending[next]
			if !ok && !all {
				return
			}
			if ok {
				delete(pending, next)
				b.report.print(next, o)
				rows = append(rows, o.row)
			}
		}
	}
	for next < len(b.tasks) {
		to := feed
		if started == len(b.tasks) || started-next >= 8*b.jobs {
			to = nil
		}
		select {
		case <-ctx.Done():
			b.write.Lock() // waits for what is being written
			b.shut = true
			b.write.Unlock()
			for len(results) > 0 {
				r := <-results
				b.report.finished(r.i, r.outcome)
				pending[r.i] = r.outcome
			}
			flush(true)
			return rows, len(rows) == len(b.tasks)
		case to <- started:
			started++
		case r := <-results:
			b.report.finished(r.i, r.outcome)
			pending[r.i] = r.outcome
			flush(false)
		}
	}
	return rows, true
}

// work reads and judges one case and makes its outputs, in memory.
func (b *batch) work(t task) (o outcome, files []file) {
	from := time.Now()
	defer func() { o.seconds = time.Since(from).Seconds() }()
	if b.resume {
		if r, ok := b.unchanged(t); ok {
			return outcome{state: unchanged, row: index.FromReport(r), files: b.names()}, nil
		}
	}
	l, err := load(t.dir, b.issued)
	if err != nil {
		return outcome{err: err}, nil
	}
	o = outcome{state: done, row: index.FromAudit(l.audit), files: b.names()}
	for _, name := range b.formats {
		data, warnings, err := write(name, l, b.options)
		if err != nil {
			return outcome{err: fmt.Errorf("%s: writing %s: %w", t.dir, name, err)}, nil
		}
		o.notes = append(o.notes, warnings...)
		files = append(files, file{filepath.Join(t.out, "audit."+name), data})
	}
	if b.record || exists(filepath.Join(t.out, recordName)) {
		files = append(files, file{filepath.Join(t.out, recordName), b.recordOf(files)})
	}
	if !b.report.several {
		o.table = b.report.tableOf(l.audit)
	}
	return o, files
}

// names are the names of the outputs of a case.
func (b *batch) names() []string {
	var out []string
	for _, f := range b.formats {
		out = append(out, "audit."+f)
	}
	return out
}

// save writes a case's outputs and completes its row. Of a case that failed nothing is written, and an older output stays.
func (b *batch) save(t task, o *outcome, files []file) {
	if o.err == nil && len(files) > 0 {
		if err := os.MkdirAll(t.out, 0o755); err != nil {
			o.err = fmt.Errorf("%s: cannot be made: %w", t.out, pathless(err))
		} else {
			o.err = writeAll(files)
		}
	}
	if o.err == nil {
		o.row.Files = o.files
	} else {
		abs, _ := filepath.Abs(t.dir)
		*o = outcome{state: failed, err: o.err, notes: o.notes, seconds: o.seconds,
			row: index.Row{Case: filepath.Base(abs), State: index.Failed, Problem: oneLine(o.err)}}
	}
	o.row.Folder = t.out
}

// oneLine brings each hint of an error into the line of what it belongs to.
func oneLine(err error) string {
	lines := strings.Split(err.Error(), "\n")
	out := lines[:0]
	for _, l := range lines {
		if hint, ok := strings.CutPrefix(l, "  hint: "); ok && len(out) > 0 {
			out[len(out)-1] += " (" + hint + ")"
			continue
		}
		out = append(out, l)
	}
	return strings.Join(out, "\n")
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return !errors.Is(err, os.ErrNotExist)
}

// countLine is the summary of a case: its verdicts and findings.
func countLine(count func(verdict.Outcome) int, findings int) string {
	var parts []string
	for _, o := range verdict.Outcomes {
		if n := count(o); n > 0 {
			parts = append(parts, fmt.Sprintf("%s %d %s", marks[o], n, o))
		}
	}
	parts = append(parts, numeral.Several(findings, "finding")+" on the words")
	return strings.Join(parts, "   ")
}
