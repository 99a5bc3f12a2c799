package figure_test

import (
	"encoding/xml"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/templates/figure"
	"weighhouse/templates/internal/mossgate"
	"weighhouse/verdict"
)

var update = flag.Bool("update", false, "write the goldens anew")

// all gives every figure of an audit.
func all(a *verdict.Audit) []figure.Figure {
	fs := []figure.Figure{figure.Claims(a), figure.Costs(a)}
	fs = append(fs, figure.Levels(a)...)
	for i := range a.Measurements {
		fs = append(fs, figure.Decay(&a.Measurements[i])...)
		fs = append(fs, figure.Budget(&a.Measurements[i]))
	}
	for _, o := range verdict.Outcomes {
		fs = append(fs, figure.VerdictMark(o, 8))
	}
	return fs
}

func TestGoldens(t *testing.T) {
	a := mossgate.Audit()
	m1 := &a.Measurements[0]
	for i := range m1.Runs { // a golden needs no 360 readings
		c := m1.Runs[i].Curve
		n := 0
		for j := 0; j < len(c.Hours); j += 24 {
			c.Hours[n], c.Value[n] = c.Hours[j], c.Value[j]
			n++
		}
		c.Hours, c.Value = c.Hours[:n], c.Value[:n]
	}
	figs := map[string][]figure.Figure{"claims": {figure.Claims(a)}, "costs": {figure.Costs(a)}, "levels": figure.Levels(a), "decay": figure.Decay(m1), "budget": {figure.Budget(m1)}}
	for _, o := range verdict.Outcomes {
		figs["marks"] = append(figs["marks"], figure.VerdictMark(o, 8))
	}
	for name, fs := range figs {
		var b strings.Builder
		for _, f := range fs {
			var r figure.Recording
			f.Draw(&r)
			fmt.Fprintf(&b, "figure %s %.0f×%.0f %q\n%s\n%s", f.ID, f.Width, f.Height, f.Title, f.Desc, r.String())
		}
		path := filepath.Join("testdata", name+".golden")
		if *update {
			if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(string(want), b.String()); d != "" {
			t.Errorf("%s differs from its golden (go test -update writes it anew):\n%s", name, d)
		}
	}
}

// What is drawn must lie within the figure, be finite, and not depend on a colour alone.
func TestWithinBounds(t *testing.T) {
	hostile := mossgate.Audit()
	spoil(hostile)
	for _, a := range []*verdict.Audit{mossgate.Audit(), hostile, {}} {
		for _, f := range all(a) {
			var r figure.Recording
			f.Draw(&r)
			for _, o := range r.Ops {
				for _, p := range o.Points {
					const slack = 6 // half a mark or a dot over the edge
					if math.IsNaN(p.X+p.Y) || p.X < -slack || p.X > f.Width+slack || p.Y < -slack || p.Y > f.Height+slack {
						t.Errorf("%s: %v lies outside %.0f×%.0f: %s", f.ID, p, f.Width, f.Height, (&figure.Recording{Ops: []figure.Op{o}}).String())
						break
					}
				}
				if o.Kind == figure.OpText {
					w := o.Type.Face.Width(o.Text, o.Type.Size)
					x := o.Points[0].X - w*[]float64{0, 0.5, 1}[o.Type.Anchor]
					if x < -4 || x+w > f.Width+4 {
						t.Errorf("%s: %q runs from %.0f to %.0f, the figure is %.0f wide", f.ID, o.Text, x, x+w, f.Width)
					}
				}
			}
		}
	}
}

// spoil puts numbers into an audit that no axis can show.
func spoil(a *verdict.Audit) {
	bad := []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -5, 1e300, 1e-300}
	for i := range a.Rows {
		if c := a.Rows[i].Claim.Claimed; c != nil {
			c.Low, c.High = bad[i%len(bad)], bad[(i+1)%len(bad)]
		}
		if l := a.Rows[i].Limit; l != nil {
			l.Low = bad[(i+2)%len(bad)]
		}
		a.Rows[i].Claim.ID = strings.Repeat("long", 40)
	}
	for i := range a.Measurements {
		m := &a.Measurements[i]
		m.Value, m.Expanded = bad[i%len(bad)], math.Abs(bad[(i+3)%len(bad)])
		m.Setting = strings.Repeat("setting ", 30)
		for j := range m.Runs {
			if c := m.Runs[j].Curve; c != nil {
				for k := range c.Value {
					if k%5 != 4 || j > 1 {
						c.Value[k] = bad[(k+j)%len(bad)]
					}
				}
				c.Background, c.A, c.K = bad[j%len(bad)], bad[(j+1)%len(bad)], bad[(j+2)%len(bad)]
			}
		}
	}
	for i := range a.Costs {
		a.Costs[i].Total, a.Costs[i].FilterCost, a.Costs[i].Option = bad[i], bad[i+3], strings.Repeat("option", 50)
	}
}

func TestSVGIsWellFormedAndDescribed(t *testing.T) {
	a := mossgate.Audit()
	a.Measurements[0].Runs[0].Run = "<&\"'> \x00 \xff 漢😀"
	a.Measurements[0].ID = "1 <id>"
	seen := map[string]bool{}
	for _, f := range all(a) {
		if f.Height == 0 {
			t.Errorf("%s is empty", f.ID)
		}
		s := figure.SVG(f)
		counts, ids := parse(t, f.ID, s)
		if counts["svg"] != 1 || counts["title"] != 1 || counts["desc"] != 1 {
			t.Errorf("%s: elements %v, want one svg, title and desc", f.ID, counts)
		}
		if strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
			t.Errorf("%s holds a number that is none", f.ID)
		}
		for _, id := range ids {
			if seen[id] {
				t.Errorf("id %q stands twice in one audit", id)
			}
			seen[id] = true
		}
	}
}

func parse(t *testing.T, name, s string) (counts map[string]int, ids []string) {
	counts = map[string]int{}
	d := xml.NewDecoder(strings.NewReader(s))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return counts, ids
		}
		if err != nil {
			t.Fatalf("%s: %v\n%s", name, err, s)
		}
		if e, ok := tok.(xml.StartElement); ok {
			counts[e.Name.Local]++
			has := map[string]bool{}
			for _, at := range e.Attr {
				if has[at.Name.Local] {
					t.Errorf("%s: attribute %s stands twice in %s", name, at.Name.Local, e.Name.Local)
				}
				has[at.Name.Local] = true
				if at.Name.Local == "id" {
					ids = append(ids, at.Value)
				}
			}
		}
	}
}

// The shapes of the verdicts must differ from each other in black and white.
func TestMarksDiffer(t *testing.T) {
	seen := map[string]verdict.Outcome{}
	for _, o := range verdict.Outcomes {
		var r figure.Recording
		figure.Mark(&r, o, figure.Point{X: 10, Y: 10}, 8)
		for i := range r.Ops {
			if r.Ops[i].Fill == figure.Accent || r.Ops[i].Stroke.Tone == figure.Accent {
				t.Errorf("%s is drawn in colour", o)
			}
		}
		if p, taken := seen[r.String()]; taken {
			t.Errorf("%s and %s look alike", o, p)
		}
		seen[r.String()] = o
	}
}

func TestNothingToDraw(t *testing.T) {
	a := &verdict.Audit{Rows: []verdict.Row{{Claim: claims.Claim{ID: "C1", Attribute: claims.FilterGrade}}}}
	if f := figure.Claims(a); f.Height != 0 {
		t.Errorf("a figure of no numbers is %v high", f.Height)
	}
	if fs := figure.Decay(&measure.Measurement{Runs: []measure.Run{{}, {Curve: &measure.Curve{}}}}); len(fs) != 0 {
		t.Errorf("%d figures of curves without readings", len(fs))
	}
	if f := figure.Budget(&measure.Measurement{}); f.Height != 0 {
		t.Error("a figure of no budget")
	}
}

// A series is thinned, so that a log of a million readings makes no figure of a million dots.
func TestDotsAreThinned(t *testing.T) {
	c := &measure.Curve{From: 0, To: 1, A: 100, K: 1, Background: 1}
	for i := range 100_000 {
		h := float64(i) / 100_000
		c.Hours, c.Value = append(c.Hours, h), append(c.Value, 1+100*math.Exp(-h))
	}
	m := &measure.Measurement{ID: "M1", Runs: []measure.Run{{Run: "1", State: "on", Curve: c}}}
	var r figure.Recording
	figure.Decay(m)[0].Draw(&r)
	for _, o := range r.Ops {
		if o.Kind == figure.OpDots && len(o.Points) > 2000 {
			t.Errorf("%d dots in one series, want at most 2000", len(o.Points))
		}
	}
}
