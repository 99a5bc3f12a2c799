package sheet

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// LogFile reads one log that stands in no case: a CSV file, or an .xlsx workbook with one sheet. Columns that are not
// named are guessed: the first one that holds times, or a date and a clock column, and the first one that holds numbers
// and is neither the time nor a row number; a note says which. It is an error where that cannot be told.
func LogFile(file, timeCol, valueCol string) (*Series, error) {
	if target, err := filepath.EvalSymlinks(file); err == nil { // the user names the file, so a link may lead anywhere
		file = target
	}
	if info, err := os.Stat(filepath.Dir(file)); err != nil || !info.IsDir() {
		return nil, Problems{{Place: Place{Book: file}, Text: "there is no such file"}}
	}
	f, err := OpenFolder(filepath.Dir(file))
	if err != nil {
		return nil, fmt.Errorf("log %s: %w", quote(file), err)
	}
	defer f.Close()
	f.bare = true
	base := filepath.Base(file)
	t := &logTask{name: base, file: base, place: Place{Book: base}, guess: clean(timeCol) == "" || clean(valueCol) == ""}
	if strings.EqualFold(filepath.Ext(base), ".xlsx") {
		w, open, err := f.workbook(base)
		if err != nil {
			return nil, err
		}
		open.Close()
		var names []string
		for _, s := range w.sheets {
			if s.part != "" {
				names = append(names, s.name)
				t.sheet = s
			}
		}
		if len(names) != 1 {
			return nil, Problems{{Place: t.place, Text: fmt.Sprintf("found the sheets %s, accepted is a workbook with one sheet, or a CSV file", list(names)), Hint: "save the sheet with the log as CSV"}}
		}
		t.wb, t.file = w, ""
		t.place.Sheet = t.sheet.name
		t.name = t.place.String()
	}
	a := &ask{time: clean(timeCol), value: clean(valueCol)}
	t.asks = []*ask{a}
	f.run(t, &counter{n: MaxReadings})
	if a.failed {
		if len(t.ps) == 0 {
			t.ps.Add(t.place, "", "the log cannot be read")
		}
		return nil, t.ps
	}
	if t.guess {
		a.series.Notes = append([]string{fmt.Sprintf("log %s: the time was taken from the column %s, the readings from %s", t.name, quote(a.series.Time), quote(a.series.Value))}, a.series.Notes...)
	}
	return a.series, nil
}

// guess looks at two lines that follow each other: is the first a header, and the second the first row of readings? It
// then names the columns of the one request.
func (s *logScan) guess(header, data []string) bool {
	a := s.task.asks[0]
	columns := make([]Column, len(header))
	for i, h := range header {
		name, unit := splitHeader(h)
		columns[i] = Column{Name: name, Header: clean(h), Unit: unit}
		if _, err := parseNumber(h, s.rule); err == nil {
			return false // numbers are no header
		}
	}
	timeCols := [2]int{-1, -1}
	if clean(a.time) != "" {
		var err error
		if timeCols, err = s.clockColumns(columns, a.time); err != nil {
			return false
		}
	} else if timeCols = guessTime(columns, data, s.rule); timeCols[0] < 0 {
		return false
	}
	value := -1
	if clean(a.value) != "" {
		var err error
		if value, err = findColumn(columns, a.value); err != nil {
			return false
		}
	} else {
		value = guessValue(columns, data, timeCols, s.rule)
	}
	if value < 0 {
		return false
	}
	a.time = columns[timeCols[0]].Header
	if timeCols[1] >= 0 {
		a.time += " + " + columns[timeCols[1]].Header
	}
	a.value = columns[value].Header
	return true
}

// guessTime finds the column of times by a row of data: a date with a clock; a date and a clock beside each other; a
// clock; a number whose header says that it is a time.
func guessTime(columns []Column, data []string, rule numberRule) [2]int {
	date, tod, number := -1, -1, -1
	for i, c := range columns {
		if i >= len(data) || c.Header == "" {
			continue
		}
		text := clean(data[i])
		if v, err := parseNumber(text, rule); err == nil {
			unit := headerUnit(c.Header, c.Unit)
			timely := strings.Contains(c.Name, "time") || strings.Contains(c.Name, "elapsed") || strings.Contains(c.Name, "epoch") || strings.Contains(c.Name, "unix")
			if number < 0 && (unit != "" && (timely || elapsedUnit(c.Name) != "" || c.Name == "t") || timely && v >= 1e8) {
				number = i
			}
			continue
		}
		st, err := parseStamp(text, dayFirst)
		if err != nil {
			st, err = parseStamp(text, monthFirst)
		}
		_, elapsed := parseElapsed(text, false)
		switch {
		case err == nil && st.dated && strings.Contains(text, ":"):
			return [2]int{i, -1}
		case err == nil && st.dated && date < 0:
			date = i
		case (err == nil && !st.dated || elapsed) && tod < 0:
			tod = i
		}
	}
	switch {
	case date >= 0 && tod >= 0:
		return [2]int{date, tod}
	case tod >= 0:
		return [2]int{tod, -1}
	case number >= 0:
		return [2]int{number, -1}
	}
	return [2]int{date, -1}
}

// guessValue finds the first column of numbers that is no time and no row number.
func guessValue(columns []Column, data []string, timeCols [2]int, rule numberRule) int {
	for i, c := range columns {
		if i >= len(data) || c.Header == "" || i == timeCols[0] || i == timeCols[1] {
			continue
		}
		switch c.Name {
		case "#", "no", "no.", "nr", "n", "index", "id", "record", "rec", "row", "line", "sample", "point":
			continue
		}
		if strings.Contains(c.Name, "time") && headerUnit(c.Header, c.Unit) != "" || elapsedUnit(c.Name) != "" {
			continue
		}
		if _, err := parseNumber(data[i], rule); err == nil {
			return i
		}
	}
	return -1
}
