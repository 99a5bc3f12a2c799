package sheet

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// logField is one field of a row of a log, from CSV or from a sheet.
type logField struct {
	text []byte
	num  float64
	kind fieldKind
	bad  error // a cell that holds no value: an error, a formula without a value
}

type fieldKind byte

const (
	fieldText    fieldKind = iota
	fieldNumber            // num is a number cell
	fieldStamp             // num is a spreadsheet date in seconds since 1970 of the clock's own calendar
	fieldClock             // num is a spreadsheet time of day in seconds
	fieldElapsed           // num is a spreadsheet duration in seconds
)

func (f *logField) blank() bool {
	if f.kind != fieldText || f.bad != nil {
		return false
	}
	for _, c := range f.text {
		switch {
		case c == ' ', c == '\t':
		case c < 0x80:
			return false
		default:
			return clean(string(f.text)) == ""
		}
	}
	return true
}

type clockMode byte

const (
	undecided    clockMode = iota
	stampMode              // dates with times, zoned or not
	clockOnly              // times of day without a date
	elapsedMode            // H:MM:SS since the start
	unitMode               // numbers in a unit
	unixMode               // Unix time
	serialNumber           // spreadsheet dates as plain numbers
	minutesMode            // M:SS since the start
)

// slashStride keeps dates whose order is not known yet apart in T: index × stride + seconds of the day + slashBias.
const (
	slashStride = 1 << 18
	slashBias   = 64800
)

// clock reads the time column of a log, or the date and the clock column, row by row. What kind of time it is shows in
// the first row. Times are given in seconds from an origin that finish tells.
type clock struct {
	cols   []int    // positions of the columns: one, or several that are joined
	roles  []string // of each, where they are more than a date and a clock: year, month, day, hour, minute, second, "" for what stands as it is
	header string
	unit   string // the unit in the header of the (last) column
	rule   numberRule

	mode       clockMode
	scale      float64
	zoned      bool
	utc        bool // the header says UTC
	offset     int  // of the first row
	origin     int64
	day        float64 // clockOnly: days passed since the first row
	prev       float64
	days       int     // how often the clock passed midnight
	guessed    bool    // elapsedMode because the first time is 00:00:00: it can be a clock at midnight
	hours      int     // minutesMode: how often the minutes began anew
	whole      bool    // minutesMode: all cells of a sheet so far are whole minutes, typed as hours and minutes
	firstClock float64 // of a sheet's cells
	short      bool    // clocks of a sheet that are whole minutes all, from the first hours of a day
	order      dateOrder
	slash      []([3]int) // the dates whose order the column has to tell, in order of appearance
	slashes    map[[3]int]int
	form       dateForm

	lastDate []byte // the date of the row before, as written
	lastDays int64
	lastZone []byte
	lastOff  int
	never    error // why no time of the column can be read
	row      int   // the row that t belongs to
	t        float64
	blank    bool
	err      error
	joined   []byte
}

// read gives the time of a row; it is read once for all that ask.
func (c *clock) read(row int, fields []logField) (t float64, blank bool, err error) {
	if c.row != row {
		c.row = row
		c.t, c.blank, c.err = c.readRow(fields)
	}
	return c.t, c.blank, c.err
}

func (c *clock) readRow(fields []logField) (float64, bool, error) {
	f := &fields[c.cols[0]]
	if len(c.cols) > 1 {
		blank := true
		for _, i := range c.cols {
			if fields[i].bad != nil {
				return 0, false, fields[i].bad
			}
			blank = blank && fields[i].blank()
		}
		if !blank {
			joined, err := c.join(fields)
			if err != nil {
				return 0, false, err
			}
			f = joined
		}
	}
	if f.bad != nil {
		return 0, false, f.bad
	}
	if f.blank() {
		return 0, true, nil
	}
	t, err := c.parse(f)
	return t, false, err
}

func (c *clock) parse(f *logField) (float64, error) {
	if f.kind == fieldNumber && f.num >= 1e11 && f.num < 1e14 && f.num == math.Trunc(f.num) { // the digits of a date and time in a number cell
		if t, ok := compact(strconv.FormatFloat(f.num, 'f', 0, 64)); ok {
			f = &logField{text: []byte(t)}
		}
	}
	if c.mode == undecided {
		if err := c.decide(f); err != nil {
			return 0, err
		}
	}
	if c.mode == minutesMode {
		return c.minutes(f)
	}
	switch f.kind {
	case fieldStamp:
		if c.mode != stampMode || c.zoned && !c.utc {
			return 0, fmt.Errorf("found a spreadsheet date in a column of other times")
		}
		return f.num - float64(c.origin), nil
	case fieldClock:
		c.short = c.short && math.Mod(f.num, 60) == 0
		if c.mode == elapsedMode && !c.guessed {
			return f.num, nil
		}
		if c.mode != clockOnly && c.mode != elapsedMode {
			return 0, fmt.Errorf("found a spreadsheet time of day in a column of other times")
		}
		return c.roll(f.num), nil
	case fieldElapsed:
		if c.mode != elapsedMode {
			return 0, fmt.Errorf("found a spreadsheet duration in a column of other times")
		}
		return f.num, nil
	}
	switch c.mode {
	case stampMode:
		if f.kind == fieldNumber {
			return 0, fmt.Errorf("found the number %s in a column of dates and times", general(f.num))
		}
		return c.stamp(bytes.TrimSpace(f.text))
	case clockOnly:
		var st stamp
		if f.kind == fieldNumber || st.clock(clean(string(f.text))) != nil {
			return 0, fmt.Errorf("found %s, accepted is a time such as 14:05:30", quote(string(f.text)))
		}
		return c.roll(st.second), nil
	case elapsedMode:
		t, ok := parseElapsed(clean(string(f.text)), false)
		if !ok {
			return 0, fmt.Errorf("found %s, accepted is an elapsed time such as 00:12:00", quote(string(f.text)))
		}
		if c.guessed && t < 86400 {
			return c.roll(t), nil
		}
		return t, nil
	}
	v := f.num
	if f.kind == fieldText {
		var err error
		if v, err = readNumber(f.text, c.rule); err != nil {
			return 0, err
		}
	}
	switch c.mode {
	case unixMode:
		if v*c.scale < 1e8 || v*c.scale >= unixEnd {
			return 0, fmt.Errorf("found %s in a column of Unix times", general(v))
		}
		if c.scale == 1 {
			return v - float64(c.origin), nil
		}
		per := math.Round(1 / c.scale)
		return (v - float64(c.origin)*per) / per, nil
	case serialNumber:
		return serialSeconds(v, false) - float64(c.origin), nil
	}
	if c.scale < 1 {
		return v / math.Round(1/c.scale), nil // exact where the division is
	}
	return v * c.scale, nil
}

// roll carries a clock without a date past midnight.
func (c *clock) roll(second float64) float64 {
	if t := second + c.day; t < c.prev-43200 {
		c.day += 86400
		c.days++
	}
	c.prev = second + c.day
	return c.prev
}

func (c *clock) describe() string {
	switch c.mode {
	case stampMode:
		if c.zoned {
			return "dates and times with a zone"
		}
		return "dates and times without a zone"
	case clockOnly:
		return "times of day"
	case elapsedMode, minutesMode:
		return "elapsed times"
	case unixMode:
		return "Unix times"
	}
	return "numbers"
}

// start gives the moment of a time that read gave, for the log's own clock.
func (c *clock) start(t float64) (at time.Time, dated bool) {
	us := time.Duration(math.Round(t*1e6)) * time.Microsecond
	if c.mode == clockOnly {
		return time.Date(0, 1, 1, 0, 0, 0, 0, time.UTC).Add(us), false
	}
	zone := time.UTC
	if c.zoned && c.offset != 0 {
		zone = time.FixedZone("", c.offset)
	}
	return time.Unix(c.origin, 0).In(zone).Add(us), true
}

func (c *clock) kind() TimeKind {
	switch {
	case c.mode == unixMode, c.zoned:
		return Absolute
	case c.mode == elapsedMode, c.mode == unitMode, c.mode == minutesMode:
		return Elapsed
	}
	return Wall
}

// headerUnit finds the unit of elapsed time that a header names: in its brackets, or as its last word.
func headerUnit(header, unit string) string {
	if u := elapsedUnit(unit); u != "" {
		return u
	}
	words := strings.Fields(FoldName(header))
	if unit == "" && len(words) > 0 {
		return elapsedUnit(words[len(words)-1])
	}
	return ""
}
