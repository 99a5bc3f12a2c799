package measure

import (
	_ "embed"
	"sync"
)

//go:embed gate.csv
var gateCSV string

// GateRule is one constant of the gate: what a rate has to survive before a claim is decided on it.
type GateRule struct {
	ID, What     string
	Value        float64
	Unit         string // "" for a plain number
	Source, Mark string
}

var gateRules = sync.OnceValue(func() []GateRule {
	var out []GateRule
	for _, r := range table(gateCSV) {
		out = append(out, GateRule{ID: r["id"], What: r["what"], Value: number(r["value"]), Unit: r["unit"], Source: r["source"], Mark: r["mark"]})
	}
	return out
})

// GateRules lists the constants of the gate, each with source and mark.
func GateRules() []GateRule { return append([]GateRule(nil), gateRules()...) }

// GateValue is the constant of that id. It panics where there is none.
func GateValue(id string) float64 {
	for _, r := range gateRules() {
		if r.ID == id {
			return r.Value
		}
	}
	panic("gate.csv has no row " + id)
}

// Side says which outcomes a doubt can hold open.
type Side int

// The two outcomes that decide a claim.
const (
	AgainstContradicted Side = 1 << iota
	AgainstSupported
	AgainstBoth = AgainstContradicted | AgainstSupported
)

// Words is the side as audit.json names it.
func (s Side) Words() string {
	switch s {
	case AgainstContradicted:
		return "contradicted"
	case AgainstSupported:
		return "supported"
	}
	return "contradicted, supported"
}

// Doubt is one thing that the evidence does not rule out, and that an outcome must survive.
type Doubt struct {
	Name   string
	Holds  Side
	As     *Measurement // the result as it would be then; nil: the outcome is held open whatever the result would be
	Why    string       // what was seen, or not seen
	Settle string       // what would settle it
}
