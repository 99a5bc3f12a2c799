package rank

import "sort"

// match is which runs of two units belong together: x[i] and y[i] are means of ln(k_e − k̄_n) over runs that stood side by
// side. Nothing is matched where x is empty.
type match struct {
	x, y []float64
	how  string
	left int // runs with no counterpart
}

const byDay = "runs blocked by day"

// matched finds how the runs of two units were laid out, from their own clocks alone: the choice of the test must not hang
// on the results.
//
//   - interleaved: in order of time the runs fall into couples, one of each unit on one day (A B B A B A …);
//   - blocked: the units ran on the same days, at least two of them; each day's runs are averaged. At most one run of a
//     unit may stand on a day without a counterpart; it is left out.
//
// Otherwise, and where a log names no day, the runs are taken as independent.
func matched(a, b *contender, x, y []float64) match {
	for _, d := range append(append([]decay(nil), a.on...), b.on...) {
		if d.start.IsZero() {
			return match{}
		}
	}
	if m := interleaved(a, b, x, y); len(m.x) >= 2 {
		return m
	}
	days := map[string]*[2][]float64{}
	var order []string
	put := func(ds []decay, v []float64, side int) {
		for i, d := range ds {
			key := d.start.Format("2006-01-02")
			if days[key] == nil {
				days[key] = &[2][]float64{}
				order = append(order, key)
			}
			days[key][side] = append(days[key][side], v[i])
		}
	}
	put(a.on, x, 0)
	put(b.on, y, 1)
	sort.Strings(order)
	m := match{how: byDay}
	var odd [2]int
	for _, key := range order {
		d := days[key]
		if len(d[0]) == 0 || len(d[1]) == 0 {
			odd[0], odd[1] = odd[0]+len(d[0]), odd[1]+len(d[1])
			continue
		}
		m.x, m.y = append(m.x, mean(d[0])), append(m.y, mean(d[1]))
	}
	if len(m.x) < 2 || odd[0] > 1 || odd[1] > 1 {
		return match{}
	}
	m.left = odd[0] + odd[1]
	return m
}

// interleaved couples runs that follow each other directly in time.
func interleaved(a, b *contender, x, y []float64) match {
	type one struct {
		decay
		v    float64
		side int
	}
	var all []one
	for i, d := range a.on {
		all = append(all, one{d, x[i], 0})
	}
	for i, d := range b.on {
		all = append(all, one{d, y[i], 1})
	}
	if len(all)%2 != 0 {
		return match{}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].start.Before(all[j].start) })
	m := match{how: "interleaved runs"}
	days := map[string]bool{}
	for i := 0; i < len(all); i += 2 {
		p, q := all[i], all[i+1]
		if p.side == q.side || p.start.Format("2006-01-02") != q.start.Format("2006-01-02") {
			return match{}
		}
		days[p.start.Format("2006-01-02")] = true
		if p.side == 1 {
			p, q = q, p
		}
		m.x, m.y = append(m.x, p.v), append(m.y, q.v)
	}
	if len(days) == len(m.x) {
		m.how = byDay
	}
	return m
}

func mean(v []float64) float64 {
	s := 0.0
	for _, x := range v {
		s += x
	}
	return s / float64(len(v))
}
