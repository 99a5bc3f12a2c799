package listing

import (
	"slices"
	"strings"

	"weighhouse/measure/unit"
)

// particlesOf lists the particles that quantity i is stated for: a size given beside it, else the kinds named.
func (s *sentence) particlesOf(i int) (names []string, at []hit) {
	add := func(name string, h hit) {
		if !slices.Contains(names, name) {
			names, at = append(names, name), append(at, h)
		}
	}
	if s.qs[i].dim() == unit.Ratio {
		for k, q := range s.qs {
			if size := sizeOf(&q); size != "" && s.nearestRatio(k) == i {
				add(size, hit{start: q.start, end: q.end})
			}
		}
		if len(names) > 0 {
			return names[:1], at[:1]
		}
	}
	for _, h := range s.hits["particle"] {
		o := s.owner(h.start, h.end)
		label := s.label > 0 && h.end <= s.label
		if o == i || label || s.qs[i].dim() == unit.Ratio && s.lastRatioBefore(h.start) == i {
			add(h.row.Value, h)
		}
	}
	if len(names) == 0 && s.qs[i].dim() == unit.Flow { // "for smoke, 370 m³/h on speed 5 and 210 m³/h on speed 3"
		for _, h := range s.hits["particle"] {
			if h.end > s.qs[i].start || len(names) == 1 && names[0] != h.row.Value || strings.ContainsAny(s.text[h.end:s.qs[i].start], ";") {
				return nil, nil
			}
			names = []string{h.row.Value}
		}
		return names, nil
	}
	if i := slices.Index(names, "dust"); i >= 0 && len(names) == 2 && strings.HasPrefix(names[1-i], "pm") && max(at[0].start, at[1].start)-min(at[0].end, at[1].end) <= 3 {
		return names[1-i : 2-i], at // "fine dust PM2.5" is one kind
	}
	return names, at
}

// sizeOf is a particle size as the claims table writes it: "0.3 um"; "" where q is none.
func sizeOf(q *quantity) string {
	if q.dim() != unit.Length || q.unit.Name != "um" && q.unit.Name != "nm" || q.isRange || len(q.values) != 1 {
		return ""
	}
	return plain(roundTo(q.low()*q.unit.Factor/unit.Must("um").Factor, 9)) + " um"
}

// nearestRatio is the percentage that quantity k, a size, belongs to: the last before it, else the first after.
func (s *sentence) nearestRatio(k int) int {
	if i := s.lastRatioBefore(s.qs[k].start); i >= 0 {
		return i
	}
	return slices.IndexFunc(s.qs, func(q quantity) bool { return q.dim() == unit.Ratio })
}

func (s *sentence) lastRatioBefore(at int) int {
	last := -1
	for i, q := range s.qs {
		if q.dim() == unit.Ratio && q.end <= at {
			last = i
		}
	}
	return last
}
