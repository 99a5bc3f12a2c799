package main

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"weighhouse/measure"
	"weighhouse/measure/numeral"
	"weighhouse/measure/sheet"
	"weighhouse/measure/unit"
	"weighhouse/verdict"
)

// decayFlags are the flags of the decay command.
type decayFlags struct {
	volume, time, value, from, to, background, method, allowance, particle, format string
	natural                                                                        []string
	plot                                                                           string
}

func newDecay() *cobra.Command {
	var f decayFlags
	c := &cobra.Command{
		Use:   "decay LOG…",
		Short: "a delivery rate from one log, for a quick look at the bench",
		Long: "Decay reduces one or more logs of particle decay with the unit running (several logs are runs of one setting) and, with\n" +
			"--natural, logs with the unit off, to a delivery rate with its budget and warnings. Nothing is written to a file.",
		Example: "  weighhouse decay run1.csv --volume 30m3\n" +
			"  weighhouse decay run1.csv run2.csv run3.csv --natural off1.csv --natural off2.csv --volume \"45.1 ± 0.5 m3\" --background \"4 ± 0.6\"",
		Args: atLeast(1, "one log or more"),
		RunE: func(c *cobra.Command, args []string) error { return decay(c, args, f) },
	}
	c.Flags().StringVar(&f.volume, "volume", "", "volume of the room, such as 30m3 or \"30 ± 0.5 m3\" (± at k = 2); needed")
	c.Flags().StringArrayVar(&f.natural, "natural", nil, "a log with the unit off; may be given several times")
	c.Flags().StringVar(&f.time, "time", "", "time column, or several: \"date + time\"; with its unit where the header has none: \"time [s]\" (default: found)")
	c.Flags().StringVar(&f.value, "value", "", "value column, by name or place: PM2.5, \"column 4\", \"watts where plug = cleaner\" (default: found where one alone can be it)")
	c.Flags().StringVar(&f.from, "from", "", "start of the window, clock or elapsed (default: found in the log)")
	c.Flags().StringVar(&f.to, "to", "", "end of the window, no later than the window rule has it (default: by that rule)")
	c.Flags().StringVar(&f.background, "background", "", "sensor reading after clearing, such as 4 or \"4 ± 0.6\" (default: found in the log)")
	c.Flags().StringVar(&f.method, "method", "room", "room or chamber")
	c.Flags().StringVar(&f.allowance, "method-allowance", "", "relative standard uncertainty for the room, such as \"3 %\" (default: by method)")
	c.Flags().StringVar(&f.particle, "particle", "smoke", "the particle, for the natural decay and the report")
	c.Flags().StringVar(&f.format, "format", "text", "text or json")
	c.Flags().StringVar(&f.plot, "plot", "auto", "draw the curve: auto (on a terminal), always, never")
	completeWord(c, "method", "room", "chamber")
	completeWord(c, "particle", measure.Particles...)
	completeWord(c, "format", "text", "json")
	completeWord(c, "plot", "auto", "always", "never")
	return c
}

var plusMinus = regexp.MustCompile(`^\s*([\d.,]+)\s*(?:(?:±|\+/-|\+-)\s*([\d.,]+))?\s*(.*?)\s*$`)

// amount reads "30", "30m3", "30 ± 0.5 m3": the value, the standard uncertainty (± at k = 2, NaN if none) and the unit.
func amount(flag, text string) (value, u float64, unitText string, err error) {
	m := plusMinus.FindStringSubmatch(text)
	bad := errUsage{fmt.Errorf("--%s %q: expected a number, with ± and unit if there are any, such as \"30 ± 0.5 m3\"", flag, text)}
	if m == nil {
		return 0, 0, "", bad
	}
	parse := func(s string) float64 {
		x, e := sheet.Cell{Text: s}.Number() // as a cell of a book: 1,482 is a thousand, 3,5 three and a half
		if e != nil {
			err = bad
		}
		return x
	}
	value, u = parse(m[1]), math.NaN()
	if m[2] != "" {
		u = parse(m[2]) / 2
	}
	return value, u, m[3], err
}

func (f decayFlags) options() (o measure.DecayOptions, err error) {
	if f.volume == "" {
		return o, errUsage{fmt.Errorf("decay: --volume is needed, such as --volume 30m3: a delivery rate is a volume times a decay rate")}
	}
	v, u, unitText, err := amount("volume", f.volume)
	if err != nil {
		return o, err
	}
	if unitText == "" {
		unitText = "m3"
	}
	k, err := unit.Convert(1, unitText, "m3")
	if err != nil {
		return o, errUsage{fmt.Errorf("--volume %q: %w", f.volume, err)}
	}
	o.Volume, o.VolumeU, _, err = measure.RoomDims{Volume: measure.Dim{Value: v * k, U: u * k}}.VolumeFrom()
	if err != nil {
		return o, errUsage{fmt.Errorf("--volume %q: %w", f.volume, err)}
	}
	if o.Method = sheet.FoldName(f.method); o.Method != "room" && o.Method != "chamber" {
		return o, errUsage{fmt.Errorf("--method %q: expected room or chamber", f.method)}
	}
	o.MethodU = math.NaN()
	if f.allowance != "" {
		x, _, unitText, err := amount("method-allowance", f.allowance)
		if err != nil || unitText != "%" {
			return o, errUsage{fmt.Errorf("--method-allowance %q: expected a percentage such as \"3 %%\"", f.allowance)}
		}
		o.MethodU = x / 100
	}
	return o, nil
}

// unitNote says which unit was taken for a volume that has none.
func (f decayFlags) unitNote() string {
	if _, _, unitText, err := amount("volume", f.volume); err != nil || unitText != "" {
		return ""
	}
	return fmt.Sprintf("--volume %q has no unit and was taken for m3; --volume \"%s ft3\" would be cubic feet", f.volume, f.volume)
}

// run reads one log as a decay run.
func (f decayFlags) run(path, state string, bg, bgU float64, particle string) (measure.DecayRun, error) {
	s, err := sheet.LogFile(path, f.time, f.value)
	if err != nil {
		return measure.DecayRun{}, err
	}
	d := measure.DecayRun{Name: filepath.Base(path), State: state, Particle: particle, T: s.T, C: s.V, From: math.NaN(), To: math.NaN(),
		Background: bg, BackgroundU: bgU, ValueUnit: s.ValueUnit, Column: s.Value, Clock: s.At, Day: math.NaN(), Place: path}
	if s.TimeKind != sheet.Elapsed && s.Dated {
		d.Day = float64(s.Start.Unix()) / 86400
	}
	for _, n := range s.Notes {
		d.Notes = append(d.Notes, measure.Warning{Flag: "log", Text: n})
	}
	if s.ClockNote != "" {
		d.Notes = append(d.Notes, measure.Warning{Flag: measure.ClockStep, Text: s.ClockNote})
	}
	if state != "on" {
		return d, nil
	}
	for _, w := range []struct {
		flag, text string
		to         *float64
	}{{"from", f.from, &d.From}, {"to", f.to, &d.To}} {
		if w.text != "" {
			if *w.to, err = s.Seconds(sheet.Text{Value: w.text}); err != nil {
				return d, errUsage{fmt.Errorf("--%s: %w", w.flag, err)}
			}
		}
	}
	return d, nil
}

func decay(c *cobra.Command, logs []string, f decayFlags) error {
	o, err := f.options()
	if err != nil {
		return err
	}
	if f.format != "text" && f.format != "json" {
		return errUsage{fmt.Errorf("--format %q: expected text or json", f.format)}
	}
	if f.plot != "auto" && f.plot != "always" && f.plot != "never" {
		return errUsage{fmt.Errorf("--plot %q: expected auto, always or never", f.plot)}
	}
	particle, ok := measure.Particle(f.particle)
	if !ok {
		return errUsage{fmt.Errorf("--particle %q: expected %s, or a size such as \"0.3 um\"", f.particle, strings.Join(measure.Particles, ", "))}
	}
	bg, bgU := math.NaN(), math.NaN()
	if f.background != "" {
		if bg, bgU, _, err = amount("background", f.background); err != nil {
			return err
		}
	}
	if n := len(logs) + len(f.natural); n > sheet.MaxRuns {
		return errUsage{errors.New("decay: " + sheet.TooLarge("logs", int64(n), sheet.MaxRuns))}
	}
	var runs []measure.DecayRun
	for i, path := range append(append([]string(nil), logs...), f.natural...) {
		state := "on"
		if i >= len(logs) {
			state = "off"
		}
		r, err := f.run(path, state, bg, bgU, particle)
		if err != nil {
			return err
		}
		runs = append(runs, r)
	}
	ms, problems := measure.DeliveryRates(runs, o)
	for _, p := range problems {
		reportError(c, "", p)
	}
	if len(ms) == 0 {
		return errFailed
	}
	note := f.unitNote()
	if f.format == "json" {
		if note != "" {
			fmt.Fprintln(c.ErrOrStderr(), "note:", clean(note))
		}
		a := verdict.Audit{Measurements: ms}
		return printJSON(c.OutOrStdout(), a.Report().Measurements, "  ")
	}
	s := newScreen(c.OutOrStdout())
	if note != "" {
		fmt.Fprintf(s, "note: %s\n\n", clean(note))
	}
	for i := range ms {
		printRate(s, &ms[i], o)
		if f.plot == "always" || f.plot == "auto" && s.terminal {
			plotRuns(s, &ms[i])
		}
	}
	return nil
}

// printRate writes a delivery rate with its budget, runs and warnings.
func printRate(s screen, m *measure.Measurement, o measure.DecayOptions) {
	y, u := numeral.Rounded(m.Value, m.Expanded)
	dof := "∞"
	if !math.IsInf(m.DOF, 1) {
		dof = strconv.FormatFloat(m.DOF, 'f', 0, 64)
	}
	head := fmt.Sprintf("delivery rate %s ± %s m3/h", y, u)
	if cfm, err := unit.Convert(m.Value, "m3/h", "cfm"); err == nil {
		cy, cu := numeral.Rounded(cfm, m.Expanded*cfm/m.Value)
		head += fmt.Sprintf(" (%s ± %s cfm)", cy, cu)
	}
	fmt.Fprintf(s, "%s\n%s, k = %.3g, %s degrees of freedom, about 95 %%; room %.4g m3\n\n", s.bold(head), m.Particle, m.K, dof, o.Volume)
	rows := [][]string{{"run", "state", "decay rate", "from", "to", "points", "R²"}}
	for _, r := range m.Runs {
		r2 := ""
		if !math.IsNaN(r.R2) {
			r2 = strconv.FormatFloat(r.R2, 'f', 4, 64)
		}
		ry, ru := numeral.Rounded(r.Value, 2*r.Std)
		rows = append(rows, []string{clean(r.Run), r.State, ry + " ± " + ru + " " + r.Unit, clean(r.From), clean(r.To), strconv.Itoa(r.Points), r2})
	}
	printTable(s, rows)
	fmt.Fprintln(s)
	rows = [][]string{{"found in the log", "phase", "from", "to", "per hour"}}
	for _, r := range m.Runs {
		for _, p := range r.Phases {
			rate := ""
			if p.Phase == "natural" || p.Phase == "on" {
				rate = numeral.Short(p.Rate, 3)
			}
			rows = append(rows, []string{clean(r.Run), p.Phase, clean(p.From), clean(p.To), rate})
		}
	}
	if len(rows) > 1 {
		printTable(s, rows)
		fmt.Fprintln(s)
	}
	rows = [][]string{{"uncertainty from", "u, m3/h", "share", "type"}}
	for i, b := range m.Budget {
		rows = append(rows, []string{b.Name, numeral.Significant(b.U, 2), fmt.Sprintf("%.0f %%", 100*m.Budget.Share(i)), b.Kind})
	}
	printTable(s, rows)
	for _, w := range m.Warnings {
		fmt.Fprintf(s, "\nnote: %s\n", clean(w.Text))
	}
	for _, r := range m.Runs {
		for _, w := range r.Flags {
			fmt.Fprintf(s, "note on %s: %s\n", clean(r.Run), clean(w.Text))
		}
	}
	fmt.Fprintln(s, "\nThe result is about the unit and the room tested. weighhouse audit judges a claim.")
}

// plotRuns draws every run's curve.
func plotRuns(s screen, m *measure.Measurement) {
	for _, r := range m.Runs {
		if r.Curve != nil {
			fmt.Fprintf(s, "\n%s (%s): readings less background, log scale; the line is the fit\n", clean(r.Run), r.State)
			fmt.Fprint(s, drawCurve(r.Curve, min(s.width-12, 100), 14, s.plain))
		}
	}
}
