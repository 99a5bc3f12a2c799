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
	t := &logTask{name: base, file: base, place: Place{Book: base}, bare: true, guess: clean(timeCol) == "" || clean(valueCol) == ""}
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
	a := &ask{time: clean(timeCol), value: clean(valueCol), want: newWish(valueCol, true), thin: &thinned{}}
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
