package verdict

import (
	"fmt"

	"weighhouse/measure"
	"weighhouse/measure/setting"
)

// atSetting keeps the results at the setting asked for: of the same name, else of another spelling of it. A blank or "max"
// is the highest: by its name where one says so, else the one with the highest value.
func atSetting(want string, of []*measure.Measurement) (at []*measure.Measurement, reason string, notes []string) {
	named := map[string]bool{}
	for _, m := range of {
		if measure.Fold(m.Setting) == measure.Fold(want) {
			at = append(at, m)
		}
		named[m.Setting] = true
	}
	if len(at) > 0 && (measure.Fold(want) != "" || len(named) == 1) {
		return at, "", nil
	}
	if !setting.Asks(want) {
		return spelt(want, of, named)
	}
	var top *measure.Measurement
	byName, several := false, false
	for _, m := range of {
		switch {
		case setting.Below(m.Setting):
			continue
		case top == nil, setting.Sure(m.Setting) && setting.Rank(m.Setting) < setting.Rank(top.Setting):
			top, byName = m, setting.Top(m.Setting)
		case m.Setting != top.Setting && !setting.Sure(top.Setting):
			several = true
			if m.Value > top.Value {
				top = m
			}
		}
	}
	if top == nil {
		return nil, fmt.Sprintf("the claim is for the highest setting; measured was only: %s", names(named)), nil
	}
	byName = byName && (setting.Sure(top.Setting) || !several)
	at = nil
	for _, m := range of {
		if m.Setting == top.Setting {
			at = append(at, m)
		}
	}
	if f := measure.Fold(want); f != "" && f != measure.Fold(top.Setting) && f != "max" && f != "maximum" {
		notes = append(notes, fmt.Sprintf("the claim's setting %q was taken to be %q, the highest measured", want, top.Setting))
	}
	if len(named) > 1 && !byName {
		notes = append(notes, fmt.Sprintf("the highest setting was taken to be %q, the one with the highest value", top.Setting))
	}
	return at, "", notes
}

// spelt finds the results at a setting that the claim writes otherwise than the lab book: "Medium speed" and "medium".
func spelt(want string, of []*measure.Measurement, named map[string]bool) (at []*measure.Measurement, reason string, notes []string) {
	as := map[string]bool{}
	for _, m := range of {
		if setting.Same(m.Setting, want) {
			at, as[m.Setting] = append(at, m), true
		}
	}
	switch len(as) {
	case 0:
		return nil, fmt.Sprintf("nothing was measured at the setting %q; measured: %s", want, names(named)), nil
	case 1:
		return at, "", []string{fmt.Sprintf("the claim's setting %q was taken to be %q of the lab book", want, at[0].Setting)}
	}
	return nil, fmt.Sprintf("the claim's setting %q may be any of these of the lab book: %s; write the same name in both", want, names(as)), nil
}
