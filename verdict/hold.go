package verdict

import (
	"fmt"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/setting"
)

// holdOpen holds a claim open: its verdict is inconclusive whatever the probability is. The text says in one line why
// nothing is decided and what would settle it. Several reasons stand one after the other, each once.
func (r *Row) holdOpen(why string) {
	r.Verdict = Inconclusive
	for _, h := range r.Hold {
		if h == why {
			return
		}
	}
	r.Hold = append(r.Hold, why)
}

// HoldText is what holds the claim open as one text, "" where nothing does.
func (r *Row) HoldText() string { return strings.Join(r.Hold, "; ") }

// Refused is a reading or run that was not used: what it would have been a result of, and why.
type Refused struct {
	Run       string `json:"run"`
	Attribute string `json:"attribute"`
	Setting   string `json:"setting"`
	Particle  string `json:"particle"`
	Place     string `json:"place"`
	Cause     string `json:"cause"`
}

// Text is the refusal as one line: the run and its cause.
func (f Refused) Text() string {
	if f.Run == "" {
		return f.Cause
	}
	return "run " + f.Run + ": " + f.Cause
}

func refusals(bad []measure.RunProblem) []Refused {
	var out []Refused
	for _, p := range bad {
		out = append(out, Refused{Run: p.Run, Attribute: p.Attribute, Setting: p.Setting, Particle: p.Particle, Place: p.Place, Cause: p.Text})
	}
	return out
}

// restsOn gives the attribute of the results that a claim's attribute is judged by.
func restsOn(a claims.Attribute) claims.Attribute {
	switch a {
	case claims.RoomArea, claims.CleanTime:
		return claims.DeliveryRate
	case claims.AnnualEnergy:
		return claims.Power
	}
	return a
}

// refusedFor gives the refused runs that would have borne on a claim. A refused run without a setting bears on every
// setting; a claim without one on every run.
func (a *Audit) refusedFor(c claims.Claim) []Refused {
	var out []Refused
	for _, f := range a.Refused {
		if f.Attribute != string(restsOn(c.Attribute)) {
			continue
		}
		if f.Setting != "" && !setting.Asks(c.Setting) && !setting.Same(f.Setting, c.Setting) {
			continue
		}
		if f.Particle != "" && c.Particle != "" && f.Particle != c.Particle {
			continue
		}
		out = append(out, f)
	}
	return out
}

// withRefused tells a claim of the runs that were refused: where they leave it without a result it is held open, since
// something was measured and could not be used; elsewhere they stand as notes.
func (r *Row) withRefused(refused []Refused) {
	for _, g := range RefusedByCause(refused) {
		if r.Measured == nil && (r.Verdict == Untested || len(r.Hold) > 0) {
			r.holdOpen("refused, " + g.Text())
			continue
		}
		r.note("refused, " + g.Text())
	}
}

// RefusedGroup is refused runs of one cause.
type RefusedGroup struct {
	Runs, Places []string // in their order; a run without a name has its setting, or "" where it has none
	Cause        string
}

// RefusedByCause gathers refused runs by their cause, in order of first appearance.
func RefusedByCause(fs []Refused) (out []RefusedGroup) {
	at := map[string]int{}
	for _, f := range fs {
		i, known := at[f.Cause]
		if !known {
			i = len(out)
			at[f.Cause] = i
			out = append(out, RefusedGroup{Cause: f.Cause})
		}
		out[i].Runs = append(out[i].Runs, f.Run)
		out[i].Places = append(out[i].Places, f.Place)
	}
	return out
}

// Names lists the runs: "run on-1", "runs on-1, on-2 and on-3"; "" where none has a name.
func (g RefusedGroup) Names() string {
	var names []string
	for _, n := range g.Runs {
		if n != "" {
			names = append(names, n)
		}
	}
	switch n := len(names); n {
	case 0:
		return ""
	case 1:
		return "run " + names[0]
	default:
		return "runs " + strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// Text is the group as one line: the runs and their cause.
func (g RefusedGroup) Text() string {
	if names := g.Names(); names != "" {
		return names + ": " + g.Cause
	}
	return g.Cause
}

// heldSentence is the statement on a claim that is held open without a result.
func heldSentence(r *Row) string {
	return fmt.Sprintf("Inconclusive, held open: %s.", r.HoldText())
}
