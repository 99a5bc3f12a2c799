package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
)

// readCSV reads the bytes of a CSV table into rows. The place of a row is the line on which it begins.
func readCSV(data []byte, at Place) (raw []rawRow, rule numberRule, notes []Note, ps Problems) {
	text, line, why := decodeText(data)
	if western, ok := windows1252(string(data)); ok && why != "" && !utf16BOM(data) {
		text, line, why = decodeText([]byte(western))
		notes = append(notes, Note{Place: at, Text: "the file is no UTF-8 and was read as Windows-1252: see that its accents and signs came out right"})
	}
	if why != "" {
		at.Row = line
		ps.Add(at, utf8Hint, "%s", why)
		return nil, rule, notes, ps
	}
	comma, skip := byte(0), 0
	header, _ := firstLines(text)
	if rest, ok := strings.CutPrefix(strings.ToLower(header), "sep="); ok && len(rest) == 1 && strings.Contains(delimiters+"|", rest) {
		comma = rest[0] // a line that spreadsheets write and read to name the delimiter
		skip = bytes.IndexByte(text, '\n') + 1
	} else {
		var next string
		header, next = headerLines(text)
		comma = findDelimiter(header, next)
		if strings.Count(header, "|") > strings.Count(header, string(comma)) {
			comma = '|'
		}
	}
	rule.comma = comma == ';'
	offset := bytes.Count(text[:skip], []byte("\n"))
	r := csv.NewReader(&lineLimit{r: bytes.NewReader(text[skip:])})
	r.Comma, r.FieldsPerRecord, r.ReuseRecord = rune(comma), -1, true
	cells := 0
	for {
		rec, err := r.Read()
		if err == io.EOF {
			return raw, rule, notes, ps
		}
		if err != nil {
			var pe *csv.ParseError
			if errors.As(err, &pe) {
				at.Row = pe.Line + offset
				ps.Add(at, `put a field that holds quotes, delimiters or line breaks in double quotes, and double each quote inside it`, "%s", csvReason(pe))
			} else {
				ps.Add(at, "", "%v", err)
			}
			return raw, rule, notes, ps
		}
		first, _ := r.FieldPos(0)
		row := rawRow{row: first + offset, fields: len(rec), cells: make([]rawCell, 0, len(rec))}
		for i, s := range rec {
			if s != "" {
				row.cells = append(row.cells, rawCell{col: i + 1, text: strings.Clone(unguarded(s))})
			}
		}
		raw = append(raw, row)
		cells += len(rec)
		if why := tableLimit(len(raw), cells, len(rec)); why != "" {
			at.Row = row.row
			ps.Add(at, "", "%s", why)
			return nil, rule, notes, ps
		}
	}
}

// firstLines gives the first two lines that are not blank.
func firstLines(text []byte) (first, second string) {
	for len(text) > 0 {
		line, rest, _ := bytes.Cut(text, []byte("\n"))
		text = rest
		s := string(line)
		if clean(s) == "" {
			continue
		}
		if first != "" {
			return first, s
		}
		first = s
	}
	return first, ""
}

func csvReason(pe *csv.ParseError) string {
	switch {
	case errors.Is(pe.Err, csv.ErrBareQuote):
		return `found a double quote inside a field that is not in quotes`
	case errors.Is(pe.Err, csv.ErrQuote):
		return `found a double quote that opens and is not closed, or text after the closing one`
	}
	return pe.Err.Error()
}

// tableLimit says which limit of a table is broken, if any.
func tableLimit(rows, cells, columns int) string {
	switch {
	case rows > MaxTableRows:
		return tooLarge("rows of the table", int64(rows), MaxTableRows)
	case cells > MaxTableCells:
		return tooLarge("cells of the table", int64(cells), MaxTableCells)
	case columns > MaxColumns:
		return tooLarge("columns of the table", int64(columns), MaxColumns)
	}
	return ""
}

// lineLimit passes a text on and fails at a line that is longer than MaxRowBytes, before it is taken into memory.
type lineLimit struct {
	r   io.Reader
	run int64
}

func (l *lineLimit) Read(b []byte) (int, error) {
	if len(b) > MaxRowBytes {
		b = b[:MaxRowBytes]
	}
	n, err := l.r.Read(b)
	if i := bytes.IndexByte(b[:n], '\n'); i >= 0 {
		if l.run+int64(i) > MaxRowBytes {
			return 0, errors.New(tooLarge("bytes of one line", l.run+int64(i), MaxRowBytes))
		}
		l.run = int64(n - 1 - bytes.LastIndexByte(b[:n], '\n'))
		return n, err
	}
	if l.run += int64(n); l.run > MaxRowBytes {
		return 0, errors.New(tooLarge("bytes of one line", l.run, MaxRowBytes))
	}
	return n, err
}
