package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
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
	chunks *chunks
	comma  byte // ' ' for runs of blanks
	line   int  // lines read
	fields []logField
	arena  []byte // the fields of a record with quotes
	foul   bool   // the chunk at hand holds bytes that are no UTF-8
}

// maxHead is how many bytes are kept of the head of a log, in which its header is looked for.
const maxHead = 4 << 20

func (l *csvLog) scan() {
	k := l.chunks.next(nil)
	head, foul := append([]byte(nil), k.data...), k.foul
	for lines := bytes.Count(head, []byte("\n")); k.err == nil && lines < MaxPreamble+64 && len(head) < maxHead; {
		k = l.chunks.next(k.data)
		head, foul = append(head, k.data...), foul || k.foul
		lines += bytes.Count(k.data, []byte("\n"))
	}
	data, ok := l.begin(head, foul)
	if !ok {
		if k.err != nil && k.err != io.EOF && !l.damaged {
			l.failChunk(k)
		}
		l.drain(k)
		return
	}
	l.foul = foul
	k.data = nil
	for {
		for len(data) > 0 && !l.stopped {
			line := data
			i := bytes.IndexByte(data, '\n')
			if i >= 0 {
				line = data[:i]
			}
			if bytes.IndexByte(line, '"') >= 0 && l.comma != ' ' {
				l.quoted(data, k)
				return
			}
			l.line++
			if i >= 0 {
				data = data[i+1:]
			} else {
				data = nil
			}
			l.plain(line)
		}
		switch {
		case k.err == io.EOF:
			return
		case k.err != nil:
			l.failChunk(k)
			return
		}
		k = l.chunks.next(k.data)
		data, l.foul = k.data, k.foul
	}
}

func (l *csvLog) failChunk(k chunk) {
	at := 0
	if k.line > 0 && !l.stopped {
		at = l.line + 1
	}
	l.failAt(at, hintFor(k), "%v", reason(k.err))
}

// drain reads on to the end, for the hash.
func (l *csvLog) drain(k chunk) {
	for k.err == nil {
		k = l.chunks.next(k.data)
	}
	if k.err != io.EOF && !l.damaged {
		l.failChunk(k)
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

// plain takes a line of data that holds no quotes.
func (l *csvLog) plain(line []byte) {
	if n := len(line); n > 0 && line[n-1] == '\r' {
		line = line[:n-1]
	}
	if len(line) == 0 || line[0] == '#' {
		return
	}
	if l.comma == ' ' {
		rec := strings.Fields(string(line))
		if len(rec) > 0 {
			l.record(l.line, rec)
		}
		return
	}
	if l.foul && bytes.IndexByte(line, 0) >= 0 {
		l.damagedLine(l.line)
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

// damagedLine meets a line with NUL bytes, as a logger leaves them where its power failed.
func (l *csvLog) damagedLine(line int) {
	for _, a := range l.task.asks {
		if !a.failed {
			a.rows++
			l.text(a, line, -1, errors.New(nulReason))
		}
	}
}

// tooMany meets a row with more fields than the header has: a decimal comma between commas would be read as two fields.
func (l *csvLog) tooMany(line int, text []byte) {
	if l.comma == ',' && commasAlone(string(text)) {
		l.failAt(line, `export the log with ";" between its columns, or with decimal points`, "found %s, which has more fields than the %d columns%s: decimal commas between commas cannot be told apart", quote(string(text)), len(l.header), l.ofLine())
		return
	}
	for _, a := range l.task.asks {
		if !a.failed {
			a.rows++
			l.text(a, line, -1, fmt.Errorf("found %s, which has more fields than the %d columns%s", quote(string(text)), len(l.header), l.ofLine()))
		}
	}
}

func (l *csvLog) ofLine() string {
	if l.at == 0 {
		return ""
	}
	return fmt.Sprintf(" of line %d", l.at)
}

// commasAlone reports whether a line holds whole numbers side by side and no decimal point, as decimal commas between commas look.
func commasAlone(line string) bool {
	pairs, before := 0, false
	for _, f := range strings.Split(line, ",") {
		whole := f != "" && digits(strings.TrimPrefix(f, "-"))
		if whole && before {
			pairs++
		}
		before = whole
		if _, err := parseNumber(f, numberRule{}); err == nil && strings.Contains(f, ".") {
			return false
		}
	}
	return pairs > 0
}

// quoted reads the rest of the log with encoding/csv, from a line that holds quotes.
func (l *csvLog) quoted(data []byte, k chunk) {
	src := &chunkReader{c: l.chunks, rest: data, last: k.data, end: k.err, foul: &l.foul}
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
	if l.foul {
		for _, s := range rec {
			if strings.IndexByte(s, 0) >= 0 {
				l.damagedLine(line)
				return
			}
		}
	}
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
