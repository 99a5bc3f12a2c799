package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// TimeKind says what the times of a log are.
type TimeKind int

const (
	Absolute TimeKind = iota // instants: a time with its zone, or Unix time
	Wall                     // the reading of a clock, without a zone
	Elapsed                  // time since the logger started
)

func (k TimeKind) String() string {
	return [...]string{"absolute", "wall clock", "elapsed"}[k]
}

// Series is what one request took from a log: readings in order of time, and what had to be done to get them.
//
// T and V have equal length, at least 1. Series of one file and the same columns share them: they are not to be changed.
type Series struct {
	Path      string    // of the file in the case; for a sheet "lab.xlsx: sheet NAME"
	Time      string    // the time column as written; "date + time" where two were joined
	Value     string    // the value column as written
	T         []float64 // s, ascending: since Start; for Elapsed by the log's own count
	V         []float64 // as the sensor showed it, in ValueUnit
	TimeKind  TimeKind
	Start     time.Time // of T = 0; zero for Elapsed; for Wall the clock's own reading, given as UTC
	Dated     bool      // the log says which day it is; false for a clock alone, whose Start is then 0000-01-01
	ValueUnit string    // from the value column's header, as written

	Blank       int    // rows with a time and no value: left out
	Duplicate   int    // rows equal to another in time and value: left out
	Conflicting int    // rows equal to another in time, with another value: left out, the first one counts
	Unsorted    int    // rows that stood before a row of an earlier time; they were put in order
	Backwards   int    // how often the time went backwards, a clock change and a file in descending order apart
	Each        int    // how many readings of the log one of T and V is the median of; 0 or 1: every reading is there
	ClockSteps  int    // how often the clock was set back or began anew: the log was cut there, and the longest part is used
	ClockNote   string // which says so, "" where it was not
	TextSkipped int    // rows of text left out because the case says so

	Notes []string // what of this a reader should know, as sentences

	unit   string       // of an Elapsed log, as counted: ms, s, min, h, d or h:mm
	order  dateOrder    // of dates with slashes
	shifts []clockShift // changes of a wall clock to or from summer time
}

// clockShift is a change of a wall clock: from at on, the clock shows by seconds more than T says.
type clockShift struct{ at, by float64 }

// At writes a moment of T for people, in the log's own clock: "14:05:30", "2026-05-04 14:05" where the log covers more
// than a day, "12.5 min" for elapsed time.
func (s *Series) At(t float64) string {
	if math.IsNaN(t) || math.IsInf(t, 0) {
		return "?"
	}
	if s.TimeKind == Elapsed {
		switch s.unit {
		case "h:mm":
			if t < 0 {
				return "-" + elapsedText(-t)
			}
			return elapsedText(t)
		case "ms", "us", "ns", "m:ss":
			return short(t) + " s"
		case "":
			return short(t) + " s"
		}
		return short(t/elapsedUnits[s.unit]) + " " + s.unit
	}
	c := s.clock(t)
	layout := "15:04:05"
	if c.Nanosecond() >= 500_000 && c.Nanosecond() < 999_500_000 {
		layout = "15:04:05.000"
	} else if c = c.Round(time.Second); c.Second() == 0 {
		layout = "15:04"
	}
	first, last := s.clock(s.T[0]), s.clock(s.T[len(s.T)-1])
	if s.Dated && (first.YearDay() != last.YearDay() || first.Year() != last.Year() || c.YearDay() != first.YearDay() || c.Year() != first.Year()) {
		layout = "2006-01-02 " + layout
	}
	return c.Format(layout)
}

// clock is what the log's clock shows at t.
func (s *Series) clock(t float64) time.Time {
	for _, c := range s.shifts {
		if t >= c.at {
			t += c.by
		}
	}
	return s.Start.Add(time.Duration(math.Round(t*1e6)) * time.Microsecond)
}

func short(x float64) string { return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64) }

// elapsedUnits are the units of elapsed time, in seconds.
var elapsedUnits = map[string]float64{"ns": 1e-9, "us": 1e-6, "ms": 0.001, "s": 1, "min": 60, "h": 3600, "d": 86400}

// elapsedUnit reads the name of a unit of elapsed time; "" where it is none.
func elapsedUnit(word string) string {
	switch FoldName(strings.TrimSuffix(word, ".")) {
	case "ns", "nanosecond", "nanoseconds":
		return "ns"
	case "us", "\u03bcs", "usec", "microsecond", "microseconds", "micros":
		return "us"
	case "ms", "msec", "msecs", "millisecond", "milliseconds", "millis":
		return "ms"
	case "s", "sec", "secs", "second", "seconds":
		return "s"
	case "m", "min", "mins", "minute", "minutes":
		return "min"
	case "h", "hr", "hrs", "hour", "hours":
		return "h"
	case "d", "day", "days":
		return "d"
	}
	return ""
}

// Seconds reads a from or to cell as a moment of T: a clock ("14:05"), a full date and time, a spreadsheet's date
// number, or elapsed time ("12 min", "00:12:00", and "12" in the log's own unit). A clock is taken at the day on which
// it falls inside the log; where it falls there twice, the date must be given. Moments outside the log are errors, but
// for a margin of a tenth of it or a minute.
func (s *Series) Seconds(c Text) (float64, error) {
	text := clean(c.Value)
	if text == "" {
		return 0, fmt.Errorf("found nothing, accepted is %s", s.acceptedTime())
	}
	if n, err := parseNumber(text, numberRule{}); err == nil && !strings.HasSuffix(text, "%") {
		return s.fromNumber(text, n)
	}
	if t, ok := durationText(text); ok {
		return s.inside(text, t)
	}
	if s.TimeKind == Elapsed {
		if t, ok := parseElapsed(text, true); ok {
			return s.inside(text, t)
		}
		return 0, fmt.Errorf("found %s, accepted is %s", quote(text), s.acceptedTime())
	}
	st, err := parseStamp(text, s.order)
	if err != nil {
		if _, _, _, _, ok := slashParts(text); ok {
			return 0, err
		}
		return 0, fmt.Errorf("found %s, accepted is %s", quote(text), s.acceptedTime())
	}
	return s.fromStamp(text, st)
}

func (s *Series) acceptedTime() string {
	if s.TimeKind == Elapsed {
		return fmt.Sprintf("a time of this log, which counts from %s to %s: a number in its unit, 12 min, or 00:12:00", s.At(s.T[0]), s.At(s.T[len(s.T)-1]))
	}
	return fmt.Sprintf("a time of this log, which runs from %s to %s: a clock such as 14:05 or 14:05:30, 2026-05-04 14:05, or since its start 12 min", s.At(s.T[0]), s.At(s.T[len(s.T)-1]))
}

// durationText reads a number with a unit of time: "12 min", "1.5h", "90 s".
func durationText(text string) (float64, bool) {
	i := strings.LastIndexAny(text, "0123456789")
	if i < 0 || i+1 == len(text) {
		return 0, false
	}
	unit := elapsedUnit(clean(text[i+1:]))
	if unit == "" {
		return 0, false
	}
	n, err := parseNumber(text[:i+1], numberRule{})
	return n * elapsedUnits[unit], err == nil
}

// fromNumber reads a bare number: in the log's own unit, a spreadsheet's date number or day fraction, or Unix time.
func (s *Series) fromNumber(text string, n float64) (float64, error) {
	switch {
	case s.TimeKind == Elapsed:
		scale := elapsedUnits[s.unit]
		if s.unit == "h:mm" || s.unit == "m:ss" || scale == 0 {
			return 0, fmt.Errorf("found %s without a unit, accepted is %s", quote(text), s.acceptedTime())
		}
		return s.inside(text, n*scale)
	case n >= 1e8 && s.TimeKind == Absolute:
		if n >= 1e11 {
			n /= 1000
		}
		return s.inside(text, n-float64(s.Start.UnixMicro())/1e6)
	case n >= 20000 && n < 80000:
		x := serialSeconds(n, false)
		return s.fromStamp(text, stamp{dated: true, days: int64(math.Floor(x / 86400)), second: x - 86400*math.Floor(x/86400)})
	case n > 0 && n < 1:
		return s.fromStamp(text, stamp{second: serialSecondsOfDay(n)})
	}
	return 0, fmt.Errorf("found %s without a unit, accepted is %s", quote(text), s.acceptedTime())
}

// fromStamp places a clock's reading in the log.
func (s *Series) fromStamp(text string, st stamp) (float64, error) {
	start := s.Start
	_, offset := start.Zone()
	var found []float64
	if st.dated {
		if !s.Dated {
			return 0, fmt.Errorf("found the date in %s, and the log has clock times without a date, accepted is a clock such as 14:05", quote(text))
		}
		x := st.seconds()
		switch {
		case st.zoned && s.TimeKind == Wall:
			return 0, fmt.Errorf("found %s with a zone, and the log's clock names none, accepted is %s", quote(text), s.acceptedTime())
		case st.zoned:
			x = st.utc()
		default:
			x -= float64(offset)
		}
		found = s.unshift(x - float64(start.UnixMicro())/1e6)
	} else {
		day := float64(start.Hour()*3600+start.Minute()*60+start.Second()) + float64(start.Nanosecond())/1e9
		x := st.second - day // at the day of the start
		if st.zoned {
			x = st.second - float64(st.offset) + float64(offset) - day
		}
		last := s.T[len(s.T)-1]
		for k := math.Floor((s.T[0]-x)/86400) - 1; x+k*86400 <= last+2*86400; k++ {
			for _, t := range s.unshift(x + k*86400) {
				if t >= s.T[0] && t <= last {
					found = append(found, t)
				}
			}
			if len(found) > 8 {
				break
			}
		}
		if len(found) > 1 && (len(s.shifts) == 0 || found[1]-found[0] > 4000) {
			return 0, fmt.Errorf("found %s, and the log holds that time on more than one day, accepted is the date with it, such as %s", quote(text), s.clock(found[0]).Format("2006-01-02 15:04"))
		}
		if len(found) == 0 { // outside: the nearest day
			k := math.Round(((s.T[0]+last)/2 - x) / 86400)
			found = []float64{x + k*86400}
		}
	}
	return s.inside(text, found[0])
}

// unshift gives the moments of T at which the clock shows x seconds after Start: two in the hour that is repeated when
// summer time ends, the first of them first.
func (s *Series) unshift(x float64) []float64 {
	if len(s.shifts) == 0 {
		return []float64{x}
	}
	c := s.shifts[0]
	var out []float64
	if x < c.at {
		out = append(out, x)
	}
	if x-c.by >= c.at {
		out = append(out, x-c.by)
	}
	if len(out) == 0 { // the hour that is left out in spring
		out = append(out, c.at)
	}
	return out
}

// inside refuses a moment that lies clearly outside the log.
func (s *Series) inside(text string, t float64) (float64, error) {
	first, last := s.T[0], s.T[len(s.T)-1]
	margin := math.Max(60, (last-first)/10)
	if t < first-margin || t > last+margin {
		return 0, fmt.Errorf("found %s, which lies outside the log, accepted is %s", quote(text), s.acceptedTime())
	}
	return t, nil
}

// parseElapsed reads H:MM:SS with any number of hours; of two parts only where short is set, as hours and minutes.
func parseElapsed(text string, short bool) (float64, bool) {
	sign := 1.0
	if strings.HasPrefix(text, "-") {
		sign, text = -1, text[1:]
	}
	parts := strings.Split(text, ":")
	if len(parts) != 3 && !(short && len(parts) == 2) || len(parts[0]) > 6 || !digits(parts[0]) || parts[0] == "" {
		return 0, false
	}
	total := 0.0
	for i, scale := range []float64{3600, 60, 1}[:len(parts)] {
		whole, frac, dot := strings.Cut(strings.Replace(parts[i], ",", ".", 1), ".")
		if whole == "" || !digits(whole) || i > 0 && len(whole) > 2 || dot && (i != 2 || frac == "" || !digits(frac) || len(frac) > 12) {
			return 0, false
		}
		v, err := strconv.ParseFloat(strings.Replace(parts[i], ",", ".", 1), 64)
		if err != nil || i > 0 && v >= 60 {
			return 0, false
		}
		total += v * scale
	}
	return sign * total, true
}
