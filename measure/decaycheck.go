package measure

import (
	"fmt"
	"math"

	"weighhouse/measure/fit"
)

// check looks at a reduced run for what would make its rate something other than a decay. l.res holds the residuals.
func (l *decayLog) check(f *DecayFit, line fit.Line) {
	n := f.Last - f.First
	res := l.res
	on := l.run.State == "on"
	if f.Points < fewestGood {
		f.warn(FewPoints, "The window holds %s; ten are wanted.", plural(f.Points, "reading"))
	}
	if left := n - f.Points; left > 0 {
		f.warn(BelowEnd, "%s not above the background, in the window, and left out.", wasWere(left, "reading"))
	}
	if on && f.R2 < 0.98 {
		f.warn(LowR2, "R² of the line is %.3f, below 0.98; the reading farthest off the line is %s off.", f.R2, percent(math.Expm1(f.Largest)))
	}
	if on && f.SE > 0.10*math.Abs(f.K) {
		f.warn(PoorFit, "The line's standard error is %s of the rate, above 10 %%.", percent(f.SE/math.Max(math.Abs(f.K), 1e-9)))
	}
	if kt := f.K * f.Span; on && kt < 1 {
		f.warn(ShortRun, "The smoke only fell to %s over the window (k·T = %.2f); the unit's rate is weakly determined below k·T = 1: log longer.", percent(math.Exp(-kt)), kt)
	}
	if l.delta > 0.01*f.A {
		f.warn(Rounding, "The sensor's steps of %.3g are more than 1 %% of the smoke at the start (%.3g); rounding alone can move the rate by some percent.", l.delta, f.A)
	}
	l.checkRange(f)
	l.findArcs(f)
	l.checkHalves(f)
	l.checkStart(f, res)
	slow, quick := robustScatter(res)
	l.checkRising(f, slow, quick)
	l.checkOutlier(f, res, slow)
	l.checkGap(f)
	l.checkClock(f, res)
	l.checkAfter(f)
	if on {
		l.checkOffset(f)
	} else {
		checkNatural(f)
	}
}

// checkRange looks for readings that the sensor cannot show: clipped at the top or bottom, or beyond its linear range.
func (l *decayLog) checkRange(f *DecayFit) {
	c, t := l.run.C[f.First:f.Last], l.run.T
	step := f.Span * secondsPerHour / math.Max(float64(len(c)-1), 1)
	k := f.K / secondsPerHour
	if l.plateau > 0 && clipped(l.plateau, step, k, l.high-f.Background, l.delta) {
		from := l.peak - l.plateau + 1
		if l.peak >= f.First {
			f.warn(Saturated, "%d readings in a row stand at the top value %.5g (%s to %s), inside the window: the sensor was saturated, and the rate comes out low.",
				l.plateau, l.high, l.clock(t[from]), l.clock(t[l.peak]))
			f.low = true
		} else {
			f.warn(Saturated, "%d readings in a row stand at the top value %.5g before the window (%s to %s): the sensor was saturated there; see that the readings used are within its range.",
				l.plateau, l.high, l.clock(t[from]), l.clock(t[l.peak]))
		}
	} else if top, at := topOf(c); at > 0 && !(l.plateau > 0 && top == l.high) && clipped(flat(c, top), step, k, top-f.Background, l.delta) {
		f.warn(Saturated, "%d readings in a row stand at %.5g, the highest of the window: the sensor looks saturated.", flat(c, top), top)
		f.low = true
	}
	if lin := l.linear(); lin > 0 {
		over := 0
		for _, x := range c {
			if x > lin {
				over++
			}
		}
		if l.above || over > max(2, len(c)/50) {
			f.warn(OverRange, "%d of %d readings used are above %.4g, the top of the sensor's linear range; such readings make the rate come out low, by up to a third near 1000 µg/m³.", over, len(c), lin)
			f.low = true
		}
	}
	if floor := l.low; l.over > f.First && floor > f.Background+2*f.BackgroundU && floor-f.Background > l.delta {
		last := f.A * math.Exp(-f.K*f.Span)
		if all := l.run.C[f.First:l.over]; clipped(flat(all, floor), step, k, math.Max(last, floor-f.Background), l.delta) {
			f.warn(SensorFloor, "The sensor shows no less than %.4g (%d readings in a row), above the background of %.4g: that may be its floor, and the background another.", floor, flat(all, floor), f.Background)
		}
	}
}

func topOf(c []float64) (top float64, at int) {
	top = math.Inf(-1)
	for i, x := range c {
		if x >= top {
			top, at = x, i
		}
	}
	return top, at
}

// checkStart looks for mixing that is not over: the first readings off the line through the later two thirds, in one
// direction, by more than a twentieth and more than the noise explains.
func (l *decayLog) checkStart(f *DecayFit, res []float64) {
	n := len(res)
	m := max(3, n/10)
	if n < 3*m+fewestFit {
		return
	}
	line, used, err := l.line(n/3, n, f.Background)
	if err != nil {
		return
	}
	t, c := l.run.T[f.First:], l.run.C[f.First:]
	mean, var2 := 0.0, 0.0
	for i := 0; i < m; i++ {
		y, u := line.At(t[i])
		if c[i] <= f.Background {
			return
		}
		mean += (math.Log(c[i]-f.Background) - y) / float64(m)
		var2 += u * u / float64(m)
	}
	inflate, _ := l.serial(n/3, n, used, line)
	inflate = math.Max(inflate, fit.SerialCorrelation(used, f.Serial.Rho).Factor)
	u := inflate * math.Sqrt(var2+line.S*line.S/float64(m))
	if math.Abs(mean) > 0.05 && math.Abs(mean) > startApart*u {
		word := "above"
		if mean < 0 {
			word = "below"
		}
		f.warn(StillMixing, "The first readings of the window stand %s %s the line through the later ones: the smoke may not have been mixed yet; begin later.", percent(math.Abs(math.Expm1(mean))), word)
	}
}

// checkRising looks for a second source: a stretch in which the smoothed reading rises by more than a tenth, and by more
// than five times the scatter, where it should only fall.
func (l *decayLog) checkRising(f *DecayFit, slow, quick float64) {
	n := f.Last - f.First
	block := max(2, n/60)
	// a second source itself widens the residuals, so beyond a fifth only the quick noise excuses a rise
	limit := math.Max(0.10, math.Min(5*slow, math.Max(0.20, 5*quick/math.Sqrt(float64(block)))))
	t, c := l.run.T[f.First:], l.run.C[f.First:]
	low, lowAt := math.Inf(1), 0
	for i := 0; i+block <= n; i += block {
		m := 0.0
		for j := i; j < i+block; j++ {
			m += (c[j] - f.Background) / float64(block)
		}
		// a rise by rounding alone is none
		if rise := m - low; m > 0 && rise > 2*l.delta && low > 0 && math.Log(m/low) > limit {
			f.warn(Rising, "The readings rise by %s between %s and %s: a second source, a door, or the next run.", percent(m/low-1), l.clock(t[lowAt]), l.clock(t[i+block-1]))
			return
		}
		if m < low {
			low, lowAt = m, i
		}
	}
}

// checkOutlier looks for single readings far off the line: more than 15 % and than seven times the scatter of the others,
// and more than rounding can do at that level.
func (l *decayLog) checkOutlier(f *DecayFit, res []float64, slow float64) {
	t, c := l.run.T[f.First:], l.run.C[f.First:]
	worst, count, at := 0.0, 0, 0
	for i, r := range res {
		off := math.Abs(r) // false for NaN below
		if off > 0.15 && off > 7*slow && off*(c[i]-f.Background) > 2*l.delta {
			count++
			if off > worst {
				worst, at = off, i
			}
		}
	}
	if count > 0 {
		f.warn(Outlier, "%s far off the line, most of all at %s, by %s.", stands(count), l.clock(t[at]), percent(math.Expm1(worst)))
	}
}

func stands(n int) string {
	if n == 1 {
		return "1 reading stands"
	}
	return plural(n, "reading") + " stand"
}

// percent words a fraction; beyond tenfold it is no longer a percentage that helps.
func percent(x float64) string {
	if !(math.Abs(x) < 10) {
		return "more than 1,000 %"
	}
	return fmt.Sprintf("%.3g %%", 100*x)
}

// robustScatter gives two standard deviations of the residuals, each 1.4826 times a median: slow from their absolute
// values, quick from the steps between neighbours; of a thinned sample where there are many.
func robustScatter(res []float64) (slow, quick float64) {
	stride := max(1, len(res)/2000)
	n := len(res)/stride + 1
	a, d := make([]float64, 0, n), make([]float64, 0, n)
	for i := 0; i < len(res); i += stride {
		if math.IsNaN(res[i]) {
			continue
		}
		a = append(a, math.Abs(res[i]))
		if i > 0 && !math.IsNaN(res[i-1]) {
			d = append(d, math.Abs(res[i]-res[i-1])/math.Sqrt2)
		}
	}
	return 1.4826 * middle(a), 1.4826 * middle(d)
}

// middle is element len(x)/2 of x in order, its median; 0 for none. It moves the elements of x about. It narrows the part
// that holds the element by partitions about the median of three (Hoare 1961, FIND).
func middle(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	k, lo, hi := len(x)/2, 0, len(x)-1
	for lo < hi {
		p := max(min(x[lo], x[hi]), min(max(x[lo], x[hi]), x[(lo+hi)/2]))
		i, j := lo, hi
		for i <= j {
			for x[i] < p {
				i++
			}
			for x[j] > p {
				j--
			}
			if i <= j {
				x[i], x[j] = x[j], x[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return x[k]
		}
	}
	return x[k]
}

// checkGap looks for a hole in the window longer than a tenth of it, beyond the log's own pace.
func (l *decayLog) checkGap(f *DecayFit) {
	t := l.run.T[f.First:f.Last]
	span := t[len(t)-1] - t[0]
	pace := span / float64(len(t)-1)
	for i := 1; i < len(t); i++ {
		if d := t[i] - t[i-1]; d > 0.1*span && d > 1.5*pace {
			f.warn(LogGap, "The log has no reading from %s to %s, %.0f %% of the window.", l.clock(t[i-1]), l.clock(t[i]), 100*d/span)
			return
		}
	}
}

// checkOffset compares the rate with that of a fit with a free offset on a long run, and flags a difference above twice
// the combined expanded uncertainty (k = 2).
func (l *decayLog) checkOffset(f *DecayFit) {
	if f.source.fitted {
		return
	}
	free, ok := l.freeFit(l.over)
	if !ok {
		return
	}
	f.FreeK, f.FreeU = free.k, free.kU
	u := math.Hypot(math.Hypot(f.Within, f.BackgroundEffect), free.kU)
	if d := math.Abs(free.k - f.K); d > 2*2*u && d > 0.02*f.K {
		f.warn(OffsetMismatch, "With the offset left free the run gives %.3g per hour, with the background of %.3g it gives %.3g: the background may not be what the sensor shows in clean air (the free fit puts it at %.3g).", free.k, f.Background, f.K, free.offset)
	}
}

// checkNatural looks at natural decay against the band that is usual for smoke in a closed room.
func checkNatural(f *DecayFit) {
	u := 2 * f.Within
	switch {
	case f.K > naturalSuspect:
		f.warn(NaturalDecay, "Natural decay of %.2f per hour is above 1 per hour: a leak, coagulation at a high number of particles, or coarse particles.", f.K)
	case f.K < -u:
		f.warn(NaturalDecay, "With the unit off the readings rise (%.2f per hour): smoke was still coming in.", f.K)
	case f.K < naturalLow-u:
		f.warn(NaturalDecay, "Natural decay of %.3f per hour is below 0.05 per hour, the low end of what is usual for smoke in a closed room.", f.K)
	case f.K > naturalHigh+u:
		f.warn(NaturalDecay, "Natural decay of %.2f per hour is above 0.6 per hour, the high end of what is usual for smoke in a closed room.", f.K)
	}
}

func wasWere(n int, noun string) string {
	if n == 1 {
		return "1 " + noun + " was"
	}
	return plural(n, noun) + " were"
}
