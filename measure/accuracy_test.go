package measure

import (
	"math"
	"strings"
	"testing"

	"weighhouse/measure/source"
)

// Expected u: u = a/√3 for a limit of error (GUM 4.3.7), a/k for an expanded uncertainty (GUM 4.3.3), the class values
// as ISO 9612 gives them (from memory).
func TestParseAccuracy(t *testing.T) {
	r3 := math.Sqrt(3)
	for _, c := range []struct {
		text    string
		reading float64
		u       float64
		unit    string
	}{
		{"3 %", 50, 1.5 / r3, ""},
		{"1.4 dB", 45, 1.4 / r3, "dB(A)"},
		{"±2 dB(A)", 45, 2 / r3, "dB(A)"},
		{"+/- 1,5 dB", 45, 1.5 / r3, "dB(A)"},
		{"3 % + 0.5 W", 50, 2 / r3, "W"},
		{"±(3 % + 0.5 W)", 50, 2 / r3, "W"},
		{"±3 % ± 0.5 W", 50, 2 / r3, "W"},
		{"0.1 g", 300, 0.1 / r3, "g"},
		{"100 mg", 300, 0.1 / r3, "g"},
		{"500 mW", 3, 0.5 / r3, "W"},
		{"2 % of reading", 100, 2 / r3, ""},
		{"10 % or 10 ug/m3", 50, 10 / r3, "ug/m3"},
		{"±10 % or ±10 µg/m³, whichever is greater", 300, 30 / r3, "ug/m3"},
		{"0.4 dB (k = 2)", 45, 0.2, "dB(A)"},
		{"class 2", 45, 1.5, ""},
		{"Class 1", 45, 0.7, ""},
		{"IEC 61672-1 class 2", 45, 1.5, ""},
		{"Klasse 2", 45, 1.5, ""},
		{"type 1", 45, 0.7, ""},
		{"±3 % RH", 45, 3 / r3, "%RH"},
		{"0.5 °C", 21, 0.5 / r3, "degC"},
	} {
		a, err := ParseAccuracy(c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		wantRel(t, c.text, a.U(c.reading), c.u, 1e-12)
		if a.Unit != c.unit {
			t.Errorf("%q: unit %q, want %q", c.text, a.Unit, c.unit)
		}
	}
}

func TestParseAccuracyRefuses(t *testing.T) {
	for text, why := range map[string]string{
		"":                "nothing",
		"good":            "no number",
		"3":               "no unit",
		"0 W":             "zero",
		"2 % FS":          "part of the reading",
		"3 % + 5 digits":  "digits",
		"3 blips":         "no unit that is known",
		"1 % + 2 %":       "two parts",
		"1 W + 2 % + 3 W": "more than two",
		"200 %":           "more than 100",
		"1 dB (k = 9)":    "coverage factor",
		"-3 %":            "no number",
		"NaN %":           "no number",
	} {
		_, err := ParseAccuracy(text)
		if err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%q: %v, want it to say %q", text, err, why)
		}
	}
}

func TestMeterKind(t *testing.T) {
	for text, want := range map[string]string{
		"sound level meter, class 2":            ClassTwo,
		"Type 1 meter":                          ClassOne,
		"phone app, built-in microphone":        Phone,
		"smartphone with external microphone":   PhoneExternal,
		"phone with calibrated measurement mic": PhoneExternal,
		"plug-in power meter":                   PlugIn,
		"socket energy meter":                   PlugIn,
		"bench instrument":                      UnknownKind,
		"Schallpegelmesser Klasse 2":            ClassTwo,
		"headphone stand":                       UnknownKind,
	} {
		if got := MeterKind(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	m, err := NewMeter("S1", "class 1", "sound level meter")
	if err != nil || m.Kind != ClassOne || m.Acc == nil {
		t.Errorf("%+v, %v", m, err)
	}
	if m, err = NewMeter("S1", "rather good", "phone"); err == nil || m.Acc != nil || m.Kind != Phone {
		t.Errorf("an accuracy that cannot be read: %+v, %v", m, err)
	}
}

// GUM G.4.2: Δu/u of 10, 25 and 50 % give 50, 8 and 2 degrees of freedom.
func TestTypeBDOF(t *testing.T) {
	for doubt, want := range map[float64]float64{0.10: 50, 0.25: 8, 0.50: 2} {
		wantRel(t, "degrees of freedom", TypeBDOF(doubt), want, 1e-12)
	}
}

func TestDefaultInstrumentsNameTheirSource(t *testing.T) {
	for _, d := range DefaultInstruments() {
		if source.Fault(d.Source, d.Mark) != "" || !(d.U(40) > 0) || !(d.DOF() > 0) {
			t.Errorf("%+v", d)
		}
	}
}

func FuzzParseAccuracy(f *testing.F) {
	for _, s := range []string{"3 %", "1.4 dB", "3 % + 0.5 W", "class 2", "±2 dB(A)", "0.4 dB (k = 2)", "10 % or 10 ug/m3", "1e999 W", "±("} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		a, err := ParseAccuracy(s)
		if err != nil {
			return
		}
		for _, x := range []float64{0, 0.5, -3, 45, 1e6} {
			if u := a.U(x); !finite(u) || u < 0 {
				t.Fatalf("%q at %g: u = %g", s, x, u)
			}
		}
		if a.U(100) <= 0 || !(a.DOF() > 0) {
			t.Fatalf("%q: u(100) = %g, %g degrees of freedom", s, a.U(100), a.DOF())
		}
	})
}
