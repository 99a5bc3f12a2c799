package measure

import (
	_ "embed"
	"fmt"
	"math"
	"sort"
	"strings"
	"sync"
)

// Dropouts is the flag of a log in which readings are codes for no reading; they were left out.
const Dropouts Flag = "dropouts"

// The shares at which a log with dropouts is refused (judgement): a fifth of its readings, or a minute of zeros between
// readings of a running load, which may as well be a unit that stood still.
const (
	mostDropouts = 0.2
	longestZero  = 60.0 // s
)

//go:embed dropouts.csv
var dropoutsCSV string

// DropoutCode is a value that loggers write where they have no reading: one row of dropouts.csv. It is taken for that only
// where it stands Apart from the middle of the other readings: in dB for a level, in multiples of the middle for a power.
type DropoutCode struct {
	Quantity     string // level or power
	Code, Apart  float64
	What         string
	Source, Mark string
}

// DropoutCodes lists the codes, in the order of the table.
var DropoutCodes = sync.OnceValue(func() []DropoutCode {
	var out []DropoutCode
	for _, r := range table(dropoutsCSV) {
		out = append(out, DropoutCode{Quantity: r["quantity"], Code: number(r["code"]), Apart: number(r["least apart"]), What: r["what"], Source: r["source"], Mark: r["mark"]})
	}
	return out
})

// dropouts gives a log, its times in s or nil for one a second, without its codes for no reading; what was left out in one
// sentence; and why the log is refused, each "" where there is nothing to say. resting is a load that may well draw
// nothing: standby.
func dropouts(quantity string, t, v []float64, resting bool) (times, kept []float64, dropped int, said, refused string) {
	middle, ok := middleApart(quantity, v)
	if !ok {
		return t, v, 0, "", ""
	}
	found := map[float64]int{}
	total, finiteN := 0, 0
	for i, x := range v {
		if finite(x) {
			finiteN++
			if isDropout(quantity, x, middle, resting) {
				found[x]++
				total++
				continue
			}
		}
		kept = append(kept, x)
		if t == nil {
			times = append(times, float64(i))
		} else {
			times = append(times, t[i])
		}
	}
	if total == 0 {
		return t, v, 0, "", ""
	}
	ends := 0
	if quantity == "power" && found[0] > 0 {
		var zero float64
		if ends, zero = zeros(t, v, middle, resting); zero >= longestZero {
			return nil, nil, 0, "", fmt.Sprintf("the power is 0 for %.0f s between readings of about %.3g W: the unit stood still, or the meter lost it; log it again, or cut the log to the part that counts", zero, middle)
		}
	}
	if share := float64(total-ends) / float64(finiteN-ends); share > mostDropouts {
		return nil, nil, 0, "", fmt.Sprintf("%d of %d readings are codes for no reading (%s), more than a fifth: no average over the rest stands for the whole", total-ends, finiteN-ends, codesText(found))
	}
	said = fmt.Sprintf("%d of %d readings are codes for no reading (%s) and were left out", total, finiteN, codesText(found))
	if ends > 0 {
		said += fmt.Sprintf("; %d of them before the unit was switched on or after it was off", ends)
	}
	return times, kept, total, said, ""
}

// middleApart is the median of the readings that are no code; false where there are fewer than three of them.
func middleApart(quantity string, v []float64) (float64, bool) {
	var some []float64
	for _, x := range v {
		if finite(x) && x >= 0 && !(quantity == "level" && x == 0) && (x == 0 || !isCode(quantity, x)) {
			some = append(some, x)
		}
	}
	if quantity == "power" { // zeros count only where nothing else is there
		var running []float64
		for _, x := range some {
			if x > 0 {
				running = append(running, x)
			}
		}
		some = running
	}
	if len(some) < 3 {
		return 0, false
	}
	sort.Float64s(some)
	return some[len(some)/2], true
}

func isCode(quantity string, x float64) bool {
	for _, c := range DropoutCodes() {
		if c.Quantity == quantity && math.Abs(x-c.Code) < 1e-6 {
			return true
		}
	}
	return false
}

// isDropout reports whether a reading is a code for none beside readings of this middle value.
func isDropout(quantity string, x, middle float64, resting bool) bool {
	if quantity == "power" {
		switch {
		case x < 0, x > 20000:
			return true
		case x == 0:
			return middle >= 1 && !resting
		}
		for _, c := range DropoutCodes() {
			if c.Quantity == quantity && math.Abs(x-c.Code) < 1e-6 && c.Apart > 1 && x > c.Apart*middle {
				return true
			}
		}
		return false
	}
	if x < 0 && middle > 10 || x > 140 && middle < 110 {
		return true
	}
	for _, c := range DropoutCodes() {
		if c.Quantity == quantity && math.Abs(x-c.Code) < 1e-6 && math.Abs(x-middle) >= c.Apart {
			return true
		}
	}
	return false
}

// zeros counts the zeros before the first and after the last reading of a load, and gives the longest time in s from one
// reading of it to the next with only zeros or codes between.
func zeros(t, v []float64, middle float64, resting bool) (ends int, longest float64) {
	first, last := -1, -1
	for i, x := range v {
		if !finite(x) || isDropout("power", x, middle, resting) {
			continue
		}
		if first < 0 {
			first = i
		}
		if last >= 0 && i-last > 1 && v[last+1] == 0 && t != nil {
			longest = math.Max(longest, t[i]-t[last+1])
		}
		last = i
	}
	for i, x := range v {
		if x == 0 && (i < first || i > last) {
			ends++
		}
	}
	return ends, longest
}

// codesText lists the codes found, each with how often.
func codesText(found map[float64]int) string {
	var codes []float64
	for c := range found {
		codes = append(codes, c)
	}
	sort.Float64s(codes)
	var parts []string
	for i, c := range codes {
		if i == 4 {
			parts = append(parts, fmt.Sprintf("%d other values", len(codes)-i))
			break
		}
		parts = append(parts, fmt.Sprintf("%g: %d", c, found[c]))
	}
	return strings.Join(parts, ", ")
}
