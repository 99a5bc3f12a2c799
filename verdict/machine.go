package verdict

import (
	"encoding/json"
	"math"
)

// sameDigits is the relative difference up to which a number of two kinds of machine is one: processors that multiply and
// add in one step (arm64) or are told not to (wasm, amd64) round the last digits otherwise. Seen in the demo: 2e-15.
const sameDigits = 1e-9

// onMachine returns an audit derived here as the kind of machine of a written one would give it: numbers that differ by no
// more than sameDigits are those that were written. An audit of the same kind of machine, or of a version that did not
// name it, is returned as it is.
func onMachine(derived, written Report) Report {
	if written.Tool.Machine == "" || written.Tool.Machine == derived.Tool.Machine {
		return derived
	}
	var was, is any
	if !again(written, &was) || !again(derived, &is) {
		return derived
	}
	var out Report
	if !again(settled(is, was), &out) {
		return derived
	}
	out.Tool.Machine = written.Tool.Machine
	return out
}

// again brings a value through JSON into another form.
func again(from, to any) bool {
	data, err := json.Marshal(from)
	return err == nil && json.Unmarshal(data, to) == nil
}

// settled returns is with the numbers of was where the two differ by no more than sameDigits.
func settled(is, was any) any {
	switch x := is.(type) {
	case float64:
		if y, ok := was.(float64); ok && math.Abs(x-y) <= sameDigits*max(math.Abs(x), math.Abs(y)) {
			return y
		}
	case []any:
		if y, ok := was.([]any); ok && len(x) == len(y) {
			for i := range x {
				x[i] = settled(x[i], y[i])
			}
		}
	case map[string]any:
		if y, ok := was.(map[string]any); ok {
			for k := range x {
				x[k] = settled(x[k], y[k])
			}
		}
	}
	return is
}
