package lab

import (
	"fmt"
	"strconv"
	"strings"

	"weighhouse/measure"
	"weighhouse/measure/sheet"
)

// Tables lists the tables of a lab book by the contract's names.
var Tables = []string{"test", "room", "instruments", "decay", "sound", "power", "counts", "loading", "weights", "costs", "tolerances", "results"}

// reader reads one lab book.
type reader struct {
	folder  *sheet.Folder
	book    *sheet.Book
	out     *Results
	ps      sheet.Problems
	meters  map[string]measure.Meter // by folded id
	vague   map[string]sheet.Problem // by folded id, the instruments whose accuracy cannot be read
	badRoom bool                     // the room table is there and at fault
	plan    int                      // runs of each phase planned before the test, 0 where not stated
	skip    bool                     // the case allows text rows in logs to be skipped
	planned map[string]bool          // folded names of the runs of the decay table
	runs    []measure.DecayRun
	noMeter bool // the instruments table is there and its ids cannot be read

	rooms         measure.Rooms // of the room book; nil for none
	roomAt        sheet.Place
	weighings     []measure.Weighing
	reverberation measure.SoundRoom // its time alone
}

// RoomOpener gives what the room book at a path, from the case folder, says of its room on the day of a test; sample is the
// sample of the unit under test, which is never its own reference.
type RoomOpener func(path, day, sample string) (measure.Rooms, error)

// Read reads the lab book b of a case, the logs that it points at included, and reduces them. All that is wrong is
// reported together, each with its place; the Results are only good when there are no problems. A room book that the test
// table names is opened by rooms, the first of them; without any it is noted and not used.
func Read(f *sheet.Folder, b *sheet.Book, rooms ...RoomOpener) (*Results, sheet.Problems) {
	r := &reader{folder: f, book: b, out: &Results{}, meters: map[string]measure.Meter{}, vague: map[string]sheet.Problem{}}
	r.unknownTables()
	r.test()
	r.roomBook(rooms)
	r.instruments()
	r.room()
	r.decay()
	r.sound()
	r.power()
	r.counts()
	r.loading()
	r.weights()
	r.results()
	r.costs()
	r.tolerances()
	for _, i := range r.out.Instruments {
		if p, vague := r.vague[sheet.FoldName(i.ID)]; vague {
			r.note(p.Place, "%s; no row of readings names the instrument, so the accuracy was not needed", p.Text)
		}
	}
	for i := range r.out.Measurements {
		r.out.Measurements[i].ID = fmt.Sprintf("M%d", i+1)
	}
	r.out.Notes = append(r.out.Notes, b.Notes()...)
	return r.out, r.ps
}

func (r *reader) unknownTables() {
	known := map[string]bool{"read me": true, "readme": true}
	for _, t := range Tables {
		known[t] = true
	}
	logs := map[string]bool{}
	for _, name := range []string{"decay", "sound", "power"} {
		if t := r.book.Table(name); t != nil {
			for i, c := range t.Columns {
				if c.Name == "log" {
					for _, row := range t.Rows {
						logs[sheet.FoldName(row.Cells[i].Text)] = true
					}
				}
			}
		}
	}
	for _, name := range r.book.Tables() {
		if f := sheet.FoldName(name); !known[f] && !logs[f] {
			r.lost(sheet.Place{Book: r.book.Name(), Sheet: name}, sheet.LostTable, "this table is not one of %s, nor a log that they name; it was not used", strings.Join(Tables, ", "))
		}
	}
}

func (r *reader) note(at sheet.Place, format string, args ...any) {
	r.out.Notes = append(r.out.Notes, sheet.Note{Place: at, Text: fmt.Sprintf(format, args...)})
}

// lost takes note of a part of the book that is not used.
func (r *reader) lost(at sheet.Place, what, format string, args ...any) {
	r.out.Notes = append(r.out.Notes, sheet.Note{Place: at, Text: fmt.Sprintf(format, args...), Lost: what})
}

// lostReadings takes note of the readings of a log that were left out, but for blank ones.
func (r *reader) lostReadings(at sheet.Place, s *sheet.Series) {
	if n := s.Conflicting + s.TextSkipped; n > 0 {
		r.out.Notes = append(r.out.Notes, sheet.Note{Place: at, Text: fmt.Sprintf("%d readings of the log %s were left out: %s", n, s.Path, strings.Join(s.Notes, "; ")), Lost: sheet.LostReading, Count: n})
	}
}

// rows decodes a table of the book, nothing where it is absent; notes and problems are kept.
func rows[T any](r *reader, name string, required ...string) []T {
	t := r.book.Table(name)
	if t == nil {
		return nil
	}
	out, notes, ps := sheet.Decode[T](t, required...)
	r.out.Notes = append(r.out.Notes, notes...)
	r.ps = append(r.ps, ps...)
	return out
}

func (r *reader) test() {
	known := map[string]bool{"tester": true, "date": true, "sample": true, "method": true, "temperature": true, "humidity": true, "notes": true,
		"name": true, "address": true, "contact": true, "place": true, "customer": true, "received": true, "authorised": true, "method allowance": true, "skip text rows": true,
		"standard": true, "mixing fan": true, "room book": true, "runs planned": true}
	seen := map[string]bool{}
	for _, row := range rows[fieldRow](r, "test", "field", "value") {
		name := sheet.FoldName(row.Field.Value)
		if name == "" {
			continue
		}
		if !known[name] {
			r.note(row.Field.Place, "field %q is not one that the test table knows; it is printed but not used", row.Field.Value)
		}
		if seen[name] {
			r.ps.Add(row.Field.Place, "", "field %q stands twice; keep one", row.Field.Value)
		}
		seen[name] = true
		r.out.Test = append(r.out.Test, Field{name, row.Value.Value})
		switch name {
		case "method":
			if m := sheet.FoldName(row.Value.Value); m != "" && m != "room" && m != "chamber" {
				r.ps.Add(row.Value.Place, "", "field method: found %q; expected room or chamber", row.Value.Value)
			}
		case "date":
			r.out.Day, r.out.DayAt = sheet.Day(row.Value.Value), row.Value.Place
		case "mixing fan":
			if m := sheet.FoldName(row.Value.Value); m != "" && m != "on" && m != "off" {
				r.ps.Add(row.Value.Place, "", "field mixing fan: found %q; expected on (throughout, in off runs too) or off", row.Value.Value)
			}
		case "runs planned":
			if s := row.Value.Value; s != "" {
				n, err := strconv.Atoi(strings.TrimSpace(s))
				if err != nil || n < 1 || n > 1000 {
					r.ps.Add(row.Value.Place, "", "field runs planned: found %q; expected the number of runs of each state and setting that was planned before the test, such as 3", s)
				}
				r.plan = n
			}
		case "room book":
			r.roomAt = row.Value.Place
		case "skip text rows":
			r.skip = yes(row.Value.Value)
		}
	}
}

// roomBook opens the room book that the test table names.
func (r *reader) roomBook(rooms []RoomOpener) {
	path := r.out.Field("room book")
	switch {
	case path == "":
	case len(rooms) == 0:
		r.note(r.roomAt, "the room book %q is not used here: a reference unit is read as in any ordinary room", path)
	case r.out.Day == "":
		r.ps.Add(r.roomAt, "give the field date", "a room book is asked for the day of the test, and the test has none")
	default:
		var err error
		if r.rooms, err = rooms[0](path, r.out.Day, r.out.Field("sample")); err != nil {
			r.ps.Add(r.roomAt, "", "room book %q: %v", path, err)
		}
	}
}

func yes(s string) bool {
	switch sheet.FoldName(s) {
	case "yes", "true", "1", "y":
		return true
	}
	return false
}

func (r *reader) instruments() {
	table := rows[instrumentRow](r, "instruments", "id")
	r.noMeter = r.book.Table("instruments") != nil && table == nil && len(r.book.Table("instruments").Rows) > 0 || r.book.Table("instruments").Faulty()
	for _, row := range table {
		if row.ID.Bad {
			r.noMeter = true
			continue
		}
		r.out.Instruments = append(r.out.Instruments, Instrument{ID: row.ID.Value, Measures: row.Measures.Value, Serial: row.Serial.Value,
			Calibrated: row.Calibrated.Value, Accuracy: row.Accuracy.Value, Note: row.Note.Value})
		m, err := measure.NewMeter(row.ID.Value, row.Accuracy.Value, row.Measures.Value+" "+row.Note.Value)
		key := sheet.FoldName(row.ID.Value)
		if err != nil { // a problem as soon as a row of readings names the instrument
			r.vague[key] = sheet.Problem{Place: row.Accuracy.Place, Text: err.Error()}
		}
		if _, dup := r.meters[key]; dup {
			r.ps.Add(row.ID.Place, "", "instrument %q stands twice; give each its own id", row.ID.Value)
		}
		r.meters[key] = m
	}
}

// meter finds the instrument that a row names. A blank is an unnamed instrument; a name that is not in the table is a
// problem, and so is an accuracy that cannot be read.
func (r *reader) meter(id sheet.Text) measure.Meter {
	if id.Value == "" {
		return measure.Meter{Kind: measure.UnknownKind}
	}
	key := sheet.FoldName(id.Value)
	if p, vague := r.vague[key]; vague {
		r.ps = append(r.ps, p)
		delete(r.vague, key)
	}
	m, ok := r.meters[key]
	if !ok && !r.noMeter {
		var ids []string
		for _, i := range r.out.Instruments {
			ids = append(ids, i.ID)
		}
		r.ps.Add(id.Place, "add the instrument to the instruments table, or leave the cell blank", "found %q; the instruments table holds %s", id.Value, orNone(ids))
	}
	return m
}

func orNone(list []string) string {
	if len(list) == 0 {
		return "none"
	}
	return strings.Join(list, ", ")
}
