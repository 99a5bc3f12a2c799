package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"sort"
	"strings"
)

// scanCSV reads a CSV log line by line. Lines without quotes are split at their delimiters as they stand; from the
// first quote on, encoding/csv reads the rest.
func (f *Folder) scanCSV(s *logScan) {
	in, err := f.open(s.task.file, MaxLogFile)
	if err != nil {
		s.fail(err)
		return
	}
	defer in.Close()
	s.size = in.size
	l := &csvLog{logScan: s, chunks: readChunks(in, in.size)}
	defer l.chunks.close()
	l.scan()
	if s.damaged {
		return
	}
	if err := in.done(); err != nil {
		s.fail(err)
	}
}

// fail records that the log could not be read.
func (s *logScan) fail(err error) {
	s.task.ps = append(s.task.ps, problems(err, s.task.place)...)
	s.damaged = true
	s.stop()
}

func (s *logScan) failAt(line int, hint, format string, args ...any) {
	p := s.task.place
	p.Row = line
	s.task.ps.Add(p, hint, format, args...)
	s.damaged = true
	s.stop()
}

type csvLog struct {
	*logScan
	chunks  *chunks
	comma   byte
	line    int // lines read
	fields  []logField
	pending []byte // a header that goes on in the next line
	arena   []byte // the fields of a record with quotes

	beforeText string // the line before, where columns are guessed
}

func (l *csvLog) scan() {
	var k chunk
	for {
		k = l.chunks.next(k.data)
		data := k.data
		for len(data) > 0 && !l.stopped {
			line := data
			i := bytes.IndexByte(data, '\n')
			if i >= 0 {
				line = data[:i]
			}
			if l.header != nil && bytes.IndexByte(line, '"') >= 0 {
				l.quoted(data, k)
				return
			}
			l.line++
			if i >= 0 {
				data = data[i+1:]
			} else {
				data = nil
			}
			if l.header == nil {
				if l.preamble(line) && len(data) > 0 {
					l.reserveRows(data)
				}
				continue
			}
			l.plain(line)
		}
		switch {
		case k.err == io.EOF:
			return
		case k.err != nil:
			at := 0
			if k.line > 0 {
				at = l.line + 1
				if l.stopped {
					at = 0
				}
			}
			l.failAt(at, hintFor(k), "%v", reason(k.err))
			return
		}
	}
}

func hintFor(k chunk) string {
	if k.line > 0 && strings.Contains(k.err.Error(), "UTF") {
		return utf8Hint
	}
	return ""
}

// reserveRows makes room by the length of the lines at hand.
func (l *csvLog) reserveRows(data []byte) {
	if n := bytes.Count(data, []byte("\n")); n > 0 {
		rows := float64(l.size) / (float64(len(data)) / float64(n))
		l.reserve(int(rows*1.02) + 64)
	}
}

// preamble takes a line before the header; true when it was the header.
func (l *csvLog) preamble(line []byte) bool {
	if l.line > MaxPreamble {
		l.headless()
		l.stop()
		return false
	}
	if bytes.Count(line, []byte(`"`))%2 == 1 || l.pending != nil {
		l.pending = append(append(l.pending, line...), '\n')
		if bytes.Count(l.pending, []byte(`"`))%2 == 1 && len(l.pending) < MaxRowBytes {
			return false
		}
		line, l.pending = bytes.TrimSuffix(l.pending, []byte("\n")), nil
	}
	text := strings.TrimSuffix(string(line), "\r")
	if clean(text) == "" || text[0] == '#' {
		return false
	}
	n := countOutside(text)
	order := []int{0, 1, 2}
	sort.SliceStable(order, func(i, j int) bool { return n[order[i]] > n[order[j]] })
	for _, k := range order {
		if n[k] == 0 {
			continue
		}
		comma := delimiters[k]
		fields, ok := splitLine(text, comma)
		if !ok {
			continue
		}
		l.rule = numberRule{comma: comma == ';', log: true}
		l.comma = comma
		if !l.task.guess {
			if l.headerLine(l.line, fields) {
				l.fields = make([]logField, len(l.header))
				return true
			}
			continue
		}
		if before, ok := splitLine(l.beforeText, comma); ok && l.guess(before, fields) && l.headerLine(l.beforeLine, before) {
			l.fields = make([]logField, len(l.header))
			l.record(l.line, fields)
			return true
		}
	}
	if fields, ok := splitLine(text, delimiters[order[0]]); ok && l.task.guess && len(fields) > len(l.likely) {
		l.likely, l.at = fields, l.line
	}
	l.beforeText, l.beforeLine = text, l.line
	return false
}

// plain takes a line of data that holds no quotes.
func (l *csvLog) plain(line []byte) {
	if n := len(line); n > 0 && line[n-1] == '\r' {
		line = line[:n-1]
	}
	if len(line) == 0 || line[0] == '#' {
		return
	}
	n := 0
	rest := line
	for n < len(l.fields) {
		i := bytes.IndexByte(rest, l.comma)
		f := &l.fields[n]
		n++
		if i < 0 {
			f.text = rest
			rest = nil
			break
		}
		f.text = rest[:i]
		rest = rest[i+1:]
		if n == len(l.fields) && !l.onlySeparators(rest) {
			l.tooMany(l.line, line)
			return
		}
	}
	for ; n < len(l.fields); n++ {
		l.fields[n].text = nil
	}
	l.row(l.line, l.fields)
}

// onlySeparators reports whether what stands beyond the last column holds nothing: trailing separators are no columns.
func (l *csvLog) onlySeparators(rest []byte) bool {
	for _, c := range rest {
		if c != l.comma && c != ' ' && c != '\t' {
			return false
		}
	}
	return true
}

// tooMany meets a row with more fields than the header has: a decimal comma between commas would be read as two fields.
func (l *csvLog) tooMany(line int, text []byte) {
	for _, a := range l.task.asks {
		if !a.failed {
			l.text(a, line, -1, fmt.Errorf("found %s, which has more fields than the %d columns of line %d", quote(string(text)), len(l.header), l.at))
		}
	}
}

// quoted reads the rest of the log with encoding/csv, from a line that holds quotes.
func (l *csvLog) quoted(data []byte, k chunk) {
	src := &chunkReader{c: l.chunks, rest: data, last: k.data, end: k.err}
	if k.err != nil && k.err != io.EOF {
		k.line = bytes.Count(data, []byte("\n")) + 1
		src.failed = &k
	}
	r := csv.NewReader(&lineLimit{r: src})
	r.Comma, r.Comment, r.FieldsPerRecord, r.ReuseRecord = rune(l.comma), '#', -1, true
	base := l.line
	if l.comma == '#' {
		r.Comment = 0
	}
	for !l.stopped {
		rec, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			var pe *csv.ParseError
			if errors.As(err, &pe) {
				l.failAt(base+pe.Line, "put a field that holds quotes or line breaks in double quotes, and double each quote inside it", "%s", csvReason(pe))
			} else {
				l.failAt(base, "", "%v", err)
			}
			return
		}
		line, _ := r.FieldPos(0)
		l.record(base+line, rec)
	}
	if l.stopped {
		if _, err := io.Copy(io.Discard, src); err != nil { // to the end, for the hash
			l.fail(err)
			return
		}
	}
	if src.failed != nil {
		l.failAt(base+src.failed.line, hintFor(*src.failed), "%v", reason(src.failed.err))
	}
}

func (l *csvLog) record(line int, rec []string) {
	size := 0
	for _, s := range rec {
		size += len(s)
	}
	if cap(l.arena) < size {
		l.arena = make([]byte, 0, 2*size)
	}
	l.arena = l.arena[:0]
	for i, s := range rec {
		if i >= len(l.fields) {
			if clean(s) != "" {
				l.tooMany(line, []byte(strings.Join(rec, string(l.comma))))
				return
			}
			continue
		}
		from := len(l.arena)
		l.arena = append(l.arena, s...)
		l.fields[i].text = l.arena[from:]
	}
	for i := len(rec); i < len(l.fields); i++ {
		l.fields[i].text = nil
	}
	l.row(line, l.fields)
}

// splitLine splits one line with fields that may stand in quotes.
func splitLine(line string, comma byte) ([]string, bool) {
	r := csv.NewReader(strings.NewReader(line))
	r.Comma, r.FieldsPerRecord = rune(comma), -1
	rec, err := r.Read()
	return rec, err == nil
}
