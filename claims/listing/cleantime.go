package listing

import (
	"strings"

	"weighhouse/claims"
	"weighhouse/measure/unit"
)

// roomOfTime makes the room of "cleans a 30 m² room in 12 minutes" a condition of the time, and likewise the share of
// "removes 99 % in 12 minutes".
func (s *sentence) roomOfTime(topics []topic) {
	s.ofTime = map[int]int{}
	for i := range s.qs {
		if topics[i].name != string(claims.CleanTime) || topics[i].skip {
			continue
		}
		for k := i - 1; k >= 0; k-- {
			d := s.qs[k].dim()
			if strings.ContainsAny(s.text[s.qs[k].last():s.qs[i].start], ";,:") || s.qs[i].start-s.qs[k].last() > 70 {
				break
			}
			if d == unit.Area || d == unit.Ratio {
				if bound, _ := s.boundOf(k); d == unit.Ratio || bound != "up to" { // "rooms up to 1,200 sq ft in 30 minutes" claims the area too
					topics[k] = topic{name: conditionOfTime}
				}
				s.ofTime[k] = i
			} else if d == unit.Time {
				break
			}
		}
		if k := i + 1; k < len(s.qs) && s.qs[k].dim() == unit.Area && len(s.text[s.qs[i].last():s.qs[k].start]) < 30 && !s.breaks(s.qs[i].last(), s.qs[k].start) {
			topics[k] = topic{name: conditionOfTime}
			s.ofTime[k] = i
		}
	}
}

const conditionOfTime = "condition of a clean time"
