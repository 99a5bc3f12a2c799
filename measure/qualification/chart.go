package qualification

import (
	"errors"
	"math"
	"sort"

	"weighhouse/measure/uncertainty"
)

// Session is one visit to a check unit: the day, in days from any origin, and its rate there.
type Session struct {
	Day  float64
	Name string // for people
	Rate float64
}

// State is where a session stands on the chart.
type State string

// The states: those sessions that set the limits, and where a later one stands among them.
const (
	Base    State = "base"
	Inside  State = "inside"
	Warning State = "warning"
	Action  State = "action"
)

// Point is one session on the chart: b = ln rate, the limits in force for it and its state.
type Point struct {
	Session
	B                                  float64
	LowAction, LowWarn, HighWarn, High float64 // of b; NaN for the sessions that set them
	EWMA                               float64 // NaN before there are fewestShewhart sessions
	State                              State
}

// Chart is the control chart of a check unit.
type Chart struct {
	Points []Point
	Mean   float64 // of b over the base sessions
	SD     float64
	Base   int
	// Slope is the drift of b per day with its 95 % interval, over all sessions; NaN for fewer than three.
	Slope, SlopeLow, SlopeHigh float64
	Drifts                     bool // the interval excludes 0
	Out                        bool // the last session is beyond an action limit
	Requalify                  bool // two sessions in a row are
}

const (
	fewestBase     = 8  // sessions that set the limits (judgement)
	fewestShewhart = 25 // sessions from which 3 s and the moving average serve (ISO 7870-2, ISO 7870-6; numbers from memory)
	ewmaLambda     = 0.2
)

// ErrBase is the answer where too few sessions are given to set limits.
var ErrBase = errors.New("a check unit's chart takes 8 sessions at the least to set its limits")

// NewChart sets the sessions against limits from the first eight.
//
// Action limits b̄ ± t_0.995(n0-1) s √(1 + 1/n0), warning limits with t_0.975: a prediction interval for one more session.
// From 25 sessions on the limits are ±3 s and ±2 s of all sessions before (ISO 7870-2), and an exponentially weighted
// moving average with weight 0.2 is kept beside them (ISO 7870-6), which acts beyond 3 s √(0.2/1.8).
func NewChart(sessions []Session) (*Chart, error) {
	if len(sessions) < fewestBase {
		return nil, ErrBase
	}
	ss := append([]Session(nil), sessions...)
	sort.SliceStable(ss, func(i, j int) bool { return ss[i].Day < ss[j].Day })
	c := &Chart{Base: fewestBase}
	var b []float64
	for _, s := range ss {
		if !(s.Rate > 0) {
			return nil, errors.New("a check unit's rate is above 0")
		}
		b = append(b, math.Log(s.Rate))
	}
	c.Mean, c.SD = moments(b[:c.Base])
	n0 := float64(c.Base)
	spread := c.SD * math.Sqrt(1+1/n0)
	act, warn := uncertainty.Quantile(0.995, n0-1)*spread, uncertainty.Quantile(0.975, n0-1)*spread
	ewma, run := c.Mean, 0
	for i, s := range ss {
		p := Point{Session: s, B: b[i], State: Base, LowAction: math.NaN(), LowWarn: math.NaN(), HighWarn: math.NaN(), High: math.NaN(), EWMA: math.NaN()}
		if i >= c.Base {
			mean, a, w, drift := c.Mean, act, warn, false
			if i >= fewestShewhart {
				m, sd := moments(b[:fewestShewhart])
				mean, a, w = m, 3*sd, 2*sd
				ewma = ewmaLambda*b[i] + (1-ewmaLambda)*ewma
				p.EWMA = ewma
				drift = math.Abs(ewma-m) > 3*sd*math.Sqrt(ewmaLambda/(2-ewmaLambda))
			}
			p.LowAction, p.High, p.LowWarn, p.HighWarn = mean-a, mean+a, mean-w, mean+w
			switch off := math.Abs(b[i] - mean); {
			case off > a || drift:
				p.State = Action
			case off > w:
				p.State = Warning
			default:
				p.State = Inside
			}
		}
		if c.Out = p.State == Action; c.Out {
			run++
		} else {
			run = 0
		}
		c.Requalify = c.Requalify || run >= 2
		c.Points = append(c.Points, p)
	}
	c.drift(ss, b)
	return c, nil
}

// drift fits b against the day and gives the slope with its 95 % interval.
func (c *Chart) drift(ss []Session, b []float64) {
	n := float64(len(b))
	mx, my := 0.0, 0.0
	for i := range b {
		mx, my = mx+ss[i].Day/n, my+b[i]/n
	}
	sxx, sxy, syy := 0.0, 0.0, 0.0
	for i := range b {
		dx, dy := ss[i].Day-mx, b[i]-my
		sxx, sxy, syy = sxx+dx*dx, sxy+dx*dy, syy+dy*dy
	}
	c.Slope, c.SlopeLow, c.SlopeHigh = math.NaN(), math.NaN(), math.NaN()
	if sxx == 0 || n < 3 {
		return
	}
	c.Slope = sxy / sxx
	se := math.Sqrt(math.Max(0, syy-c.Slope*sxy) / (n - 2) / sxx)
	t := uncertainty.Quantile(0.975, n-2)
	c.SlopeLow, c.SlopeHigh = c.Slope-t*se, c.Slope+t*se
	c.Drifts = c.SlopeLow > 0 || c.SlopeHigh < 0
}

// At finds the point of the last session at or before a day, nil where there is none.
func (c *Chart) At(day float64) *Point {
	var out *Point
	for i := range c.Points {
		if c.Points[i].Day <= day+1e-9 {
			out = &c.Points[i]
		}
	}
	return out
}

func moments(x []float64) (mean, sd float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sd += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(sd / float64(len(x)-1))
}
