package sheet

// MaxKept is the most readings that are kept of one log of a decay. Of a longer log it is medians of three, of nine and so
// on that are kept: a logger that writes more than that writes faster than a decay, or than the sensor, needs.
const MaxKept = 3 << 17

type reading struct{ t, v float64 }

// thinned keeps medians of three readings that follow each other, each at the time of the middle one, and of those medians
// of three again, as often as keeps a log within MaxKept (the remedian of Rousseeuw and Bassett 1990, in blocks). A median
// is a value that the sensor showed: its steps stay, a stray reading goes.
type thinned struct {
	level int
	open  [][]reading // of each level: up to two that wait for a third
}

// keep takes a reading.
func (a *ask) keep(t, v float64) {
	if a.thin == nil {
		a.series.T, a.series.V = append(a.series.T, t), append(a.series.V, v)
		return
	}
	for l := 0; l < a.thin.level; l++ {
		a.thin.open[l] = append(a.thin.open[l], reading{t, v})
		if len(a.thin.open[l]) < 3 {
			return
		}
		t, v = middleOf([3]reading(a.thin.open[l]))
		a.thin.open[l] = a.thin.open[l][:0]
	}
	a.series.T, a.series.V = append(a.series.T, t), append(a.series.V, v)
	if len(a.series.T) == MaxKept && len(a.clock.slash) == 0 {
		T, V := a.series.T, a.series.V
		for i := 0; i < MaxKept; i += 3 {
			T[i/3], V[i/3] = middleOf([3]reading{{T[i], V[i]}, {T[i+1], V[i+1]}, {T[i+2], V[i+2]}})
		}
		a.series.T, a.series.V = T[:MaxKept/3], V[:MaxKept/3]
		a.thin.level++
		a.thin.open = append(a.thin.open, make([]reading, 0, 3))
	}
}

func middleOf(r [3]reading) (t, v float64) {
	return r[1].t, max(min(r[0].v, r[1].v), min(max(r[0].v, r[1].v), r[2].v))
}

// flushThin keeps what still waits.
func (a *ask) flushThin() {
	if a.thin == nil {
		return
	}
	for l := a.thin.level - 1; l >= 0; l-- {
		for _, r := range a.thin.open[l] {
			a.series.T, a.series.V = append(a.series.T, r.t), append(a.series.V, r.v)
		}
	}
	for range a.thin.level {
		a.series.Each = 3 * max(a.series.Each, 1)
	}
}
