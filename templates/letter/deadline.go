package letter

import (
	"fmt"
	"time"
)

// maxDays is the longest time for an answer that is accepted, in working days.
const maxDays = 250

// Deadline is the last day for an answer: the day on which so many working days have passed since the day from, which
// itself does not count. Saturdays, Sundays and the holidays are no working days; days must be 1 to 250.
//
// Ten working days follow the protocol for the maker's right of reply (judgement, after Swiss SR 944.05 Art. 9(1): time
// enough for objections to be considered).
func Deadline(from time.Time, days int, holidays []time.Time) (time.Time, error) {
	if days < 1 || days > maxDays {
		return time.Time{}, fmt.Errorf("%d working days: 1 to %d would do", days, maxDays)
	}
	off := map[string]bool{}
	for _, h := range holidays {
		off[h.Format(time.DateOnly)] = true
	}
	day := from
	for left, passed := days, 0; left > 0; passed++ {
		if passed > 10*maxDays {
			return time.Time{}, fmt.Errorf("the holidays leave no %d working days after %s", days, from.Format(time.DateOnly))
		}
		day = day.AddDate(0, 0, 1)
		if w := day.Weekday(); w != time.Saturday && w != time.Sunday && !off[day.Format(time.DateOnly)] {
			left--
		}
	}
	return day, nil
}
