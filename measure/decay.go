package measure

import (
	"fmt"
	"math"
	"time"
)

// DecayRun is one run of a delivery-rate test: a sensor's readings while the smoke goes, with the unit off (natural
// decay) or on.
type DecayRun struct {
	Name, State       string // State is "off" or "on"; see Parts for "both"
	Setting, Particle string
	Instrument        string // optional
	T, C              []float64
	From, To          float64 // in T's clock; NaN where not given. From overrules the start; To ends the window at the latest
	// Background is the sensor's reading in clean air and BackgroundU its standard uncertainty, both in the unit of C;
	// NaN where not given.
	Background, BackgroundU float64
	// Linear is the top of the sensor's linear range in the unit of C. 0 stands for 300 where ValueUnit is ug/m3
	// (optical mass sensors are not linear above about 300 µg/m³: Barkjohn et al. 2022), and for unknown otherwise.
	Linear    float64
	ValueUnit string
	Clock     func(t float64) string // T for people; nil: minutes since the first reading
	Day       float64                // days since 1970-01-01 for absolute clocks, NaN otherwise
	Start     time.Time              // of T = 0, as the log's own clock shows it; zero where the log names no day
	Place     string
	Column    string    // the header of the column of C, for people; may be blank
	Log       string    // names the column of the log, so that two runs of it are known; may be blank
	Notes     []Warning // from reading the log; carried into the run's flags
	Exclude   string    // the cause for which the run is left out of the result; "" where it is not

	both bool // one of the two parts of a log: the other is before or after the knee
}

// Parts gives the runs that a row stands for: a run of the state "both" is a natural decay and a run with the unit on, the
// one before, the other after the knee of one log; its From and To bound the log. Any other run is one.
func (r DecayRun) Parts() []DecayRun {
	if r.State != "both" {
		return []DecayRun{r}
	}
	from, to := 0, len(r.T)
	if !math.IsNaN(r.From) {
		from = searchTime(r.T, r.From, false)
	}
	if !math.IsNaN(r.To) {
		to = max(from, searchTime(r.T, r.To, true))
	}
	r.T, r.C, r.From, r.To, r.both = r.T[from:to], r.C[from:to], math.NaN(), math.NaN(), true
	on, off := r, r
	on.State, off.State = "on", "off"
	return []DecayRun{on, off}
}

// DecayOptions are what all runs of one room share.
type DecayOptions struct {
	Volume, VolumeU float64 // m3, standard uncertainty
	Method          string  // "room" (also "") or "chamber"
	// MethodU is the relative standard uncertainty for what an ordinary room adds: furniture, drifting humidity, imperfect
	// mixing. NaN takes the default: none in a chamber with its standard named and mixing on, elsewhere by gate.csv.
	MethodU  float64
	Standard string // that the method follows; "" for none
	Fan      string // mixing fan: "on" throughout, in off runs too; "off"; "" where not stated
	Rooms    Rooms  // the qualified room, nil for none
	Planned  int    // runs of each phase, as written down before the test; 0 where not stated

	assumed bool // MethodU is the default
}

// The flags that decay reductions give. Indicative and RoomTooSmall stand with the type Flag.
const (
	FewPoints       Flag = "few points"
	LowR2           Flag = "low R2"
	PoorFit         Flag = "poor fit"
	NotFirstOrder   Flag = "not first-order"
	OffsetMismatch  Flag = "offset mismatch"
	Saturated       Flag = "saturated"
	OverRange       Flag = "over range"
	SensorFloor     Flag = "sensor floor"
	Rounding        Flag = "rounding"
	ShortRun        Flag = "short run"
	StillMixing     Flag = "still mixing"
	Outlier         Flag = "outlier"
	Rising          Flag = "rising"
	NaturalDecay    Flag = "natural decay"
	NoNaturalDecay  Flag = "no natural decay"
	ParticlesDiffer Flag = "particles differ"
	DaysApart       Flag = "days apart"
	LogGap          Flag = "gap"
	BelowEnd        Flag = "below end level"
	NoBackground    Flag = "background not given"
	Unsteady        Flag = "unsteady"
	WindowCut       Flag = "window cut"
	ClockStep       Flag = "clock step"
	BeforeKnee      Flag = "before the knee"
	QuickBefore     Flag = "quick before the run"
	Flattens        Flag = "flattens"
	LeftOut         Flag = "left out"
	NotAsPlanned    Flag = "not as planned"
)

const (
	settle         = 120.0             // s from the peak to the start of the window (judgement: mixing)
	endFraction    = 0.10              // of the fitted initial excess, where the window ends
	endSteps       = 10.0              // resolution steps, where the window ends at the latest
	fewestFit      = 6                 // readings, below which no line is fitted
	fewestGood     = 10                // readings, below which the run is flagged (AC-1 asks 9 for smoke and dust, 5 for pollen: memory)
	longRun        = 2.0               // k*T from which a free offset can be told apart (judgement)
	onRunToRun     = 0.05              // assumed relative run-to-run standard deviation of one on run (coverage study)
	offRunToRun    = 0.20              // the same for one off run; the study's natural decays scatter so
	pooledLeast    = 8.0               // degrees of freedom from which a pooled repeatability carries a verdict
	tooFast        = 450.0 / 1008 * 60 // 1/h: AC-1's upper limit 450 cfm in its 1008 ft3 chamber, 26.786 1/h
	opticalLinear  = 300.0             // µg/m³
	cleanAir       = 20.0              // µg/m³, the most that a mass sensor is taken to show in clean air where nothing is known
	secondsPerHour = 3600.0
	naturalLow     = 0.05 // 1/h, usual band of natural decay for smoke in a closed room
	naturalHigh    = 0.6
	naturalSuspect = 1.0
	unsteadyOff    = 0.12 // 1/h, IEC 63086-2-1:2024 (second-hand): 0.002 1/min
	unsteadyOn     = 0.48 // 1/h, the same: 0.008 1/min
)

// DeliveryRates reduces decay runs to one delivery rate for each setting and particle, in m3/h:
//
//	CADR = V*(mean k_e - mean k_n)
//
// k_e and k_n are the decay rates with the unit on and off (AHAM AC-1; ENERGY STAR v1.1), V the room's volume. Natural
// decay is shared by all settings of a particle, never between particles.
//
// Budget, in m3/h: V*u(k_e) and V*u(k_n) by replication with the within-run floor (GUM H.5), V*u_bg for the background,
// |k_e - k_n|*u(V), and the method allowance. Effective degrees of freedom by Welch and Satterthwaite, U = t_0.975*u.
// Where either phase has fewer than three runs, the run-to-run scatter is an assumed or pooled one and k is at least 2.
//
// A run that cannot be reduced is named in problems; the others go on. Measurements come in the order in which their
// groups first appear.
//
// Memory beside the readings: 16 bytes a reading of the longest window, one run after the other; of a run that is reduced
// at most 2,000 points stay, for its figure.
func DeliveryRates(runs []DecayRun, o DecayOptions) (ms []Measurement, problems []RunProblem) {
	if !(o.Volume > 0) || math.IsInf(o.Volume, 1) {
		return nil, []RunProblem{{Text: fmt.Sprintf("a delivery rate takes the room's volume, found %g m3", o.Volume)}}
	}
	if !(o.VolumeU >= 0) || math.IsInf(o.VolumeU, 1) {
		return nil, []RunProblem{{Text: fmt.Sprintf("the room's volume takes an uncertainty of 0 or more, found %g m3", o.VolumeU)}}
	}
	o.assumed = math.IsNaN(o.MethodU)
	var logs []*decayLog
	lostOff := map[string]bool{} // particles of which a natural decay was refused
	for i := range runs {
		l, err := openDecay(&runs[i])
		if err != nil {
			problems = append(problems, refused(&runs[i], err.Error()))
			if particle, _ := Particle(runs[i].Particle); runs[i].State == "off" {
				lostOff[particle] = true
			}
			continue
		}
		logs = append(logs, l)
	}
	findBackgrounds(logs)
	byParticle := map[string]*decayPhases{}
	var order []*decayPhases
	for _, l := range logs {
		f, err := l.reduce(l.background)
		if err != nil {
			problems = append(problems, refused(l.run, err.Error()))
			lostOff[l.particle] = lostOff[l.particle] || l.run.State == "off"
			continue
		}
		key := l.particle
		p := byParticle[key]
		if p == nil {
			p = &decayPhases{particle: key}
			byParticle[key] = p
			order = append(order, p)
		}
		p.add(f)
	}
	for _, p := range order {
		problems = append(problems, p.allLeftOut()...)
	}
	for _, p := range order {
		problems = append(problems, p.mixedUp()...)
	}
	setChannels(order)
	// in the order of the on runs' first appearance, over all particles
	done := map[*decaySetting]bool{}
	for _, l := range logs {
		if l.run.State != "on" {
			continue
		}
		p := byParticle[l.particle]
		if p == nil {
			continue
		}
		s := p.setting(l.run.Setting)
		if s == nil || done[s] || len(s.fits) == 0 {
			continue
		}
		done[s] = true
		if (p.lostOff || lostOff[p.particle]) && len(p.off.fits) == 0 {
			for _, f := range s.fits {
				problems = append(problems, refused(f.log.run, "its natural decay was refused, and a delivery rate is the difference of the two"))
			}
			continue
		}
		off, warning, err := naturalFor(p, order)
		if err != nil {
			for _, f := range s.fits {
				problems = append(problems, refused(f.log.run, err.Error()))
			}
			continue
		}
		m := p.combine(s, off, o)
		if warning != nil {
			m.Warn(warning.Flag, warning.Text)
		}
		if !m.Finite() {
			problems = append(problems, refused(s.fits[0].log.run, "the delivery rate is not a finite number; look at the log's values"))
			continue
		}
		ms = append(ms, m)
	}
	return ms, problems
}

// refused names a run that gives no rate, and why. A refused off run bears on every setting.
func refused(r *DecayRun, why string) RunProblem {
	p := RunProblem{Run: r.Name, Place: r.Place, Text: why, Attribute: "delivery rate", Setting: r.Setting, Particle: r.Particle}
	if r.State == "off" {
		p.Setting = ""
	}
	return p
}
