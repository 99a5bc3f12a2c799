package setting

import (
	"slices"
	"testing"

	"weighhouse/measure/source"
)

// TestRows: every row has a source and a mark, a known class and form, and no name means two settings.
func TestRows(t *testing.T) {
	of := map[string]string{}
	for _, r := range Rows() {
		if why := source.Fault(r.Source, r.Mark); why != "" {
			t.Errorf("%q: %s", r.Names, why)
		}
		if !slices.Contains([]Class{"", Lowest, Middle, Automatic, Highest, Standby}, r.Class) || !slices.Contains([]string{"phrase", "bare", "cell", "ordinal", "ceiling"}, r.Form) || (r.Rank > 0) != (r.Class == Highest && r.Form != "ceiling") {
			t.Errorf("%q: class %q, form %q, rank %d", r.Names, r.Class, r.Form, r.Rank)
		}
		for _, n := range r.Names {
			if k, ok := of[n]; ok && k != r.Key && r.Form != "ordinal" && r.Form != "ceiling" {
				t.Errorf("%q means %q and %q", n, k, r.Key)
			}
			of[n] = r.Key
		}
	}
}

// TestKey: spellings of one setting are one, and different settings stay apart (this project's own rule; no source).
func TestKey(t *testing.T) {
	for _, c := range []struct{ name, key string }{
		{"", ""}, {"max", ""}, {"Maximum speed", ""}, {"top", ""}, {"full-speed", ""}, {"Höchste Stufe", ""},
		{"Medium speed", "medium"}, {"medium", "medium"}, {"Mid", "medium"}, {"Level 3", "3"}, {"speed 3", "3"}, {"Stufe 3", "3"}, {"3", "3"},
		{"turbo", "turbo"}, {"Turbo mode", "turbo"}, {"high", "high"}, {"High Speed", "high"}, {"sleep_mode", "sleep"}, {"silent", "quiet"}, {"stand-by", "standby"},
		{"Breezle", "breezle"}, {"mode", "mode"}, {"normal", "normal"},
	} {
		if got := Key(c.name); got != c.key {
			t.Errorf("%q: %q, want %q", c.name, got, c.key)
		}
	}
	if Same("speed 2", "speed 3") || Same("sleep", "quiet") || Same("high", "max") || !Same("max", "") {
		t.Error("settings mixed up")
	}
	if Below("speed 2") || Below("") || !Below("medium speed") || !Below("Auto") || !Below("standby") || !Top("high") || Top("speed 5") {
		t.Error("classes")
	}
}

// TestCeiling: words that hold a number to the highest setting, and words that do not.
func TestCeiling(t *testing.T) {
	for text, want := range map[string]bool{"max. 52 dB(A)": true, "up to 24 dB": true, "at most 45 W": true, "höchstens 52 dB": true, "最大 52 dB": true, "52 dB at top speed": true,
		"24 dB": false, "only 24 dB": false, "less than 24 dB": false, "as low as 24 dB": false, "maximise the quiet: 24 dB": false} {
		if Ceiling(text) != want {
			t.Errorf("%q: %v", text, !want)
		}
	}
}

// TestMentioned: what running text names, and praise that names nothing.
func TestMentioned(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string
	}{
		{"Only 24 dB in sleep mode", []string{"sleep"}}, {"max. 52 dB(A)", []string{"max"}}, {"48 W at top speed", []string{"max"}}, {"35 dB on speed 2", []string{"2"}},
		{"whisper quiet, 24 dB", nil}, {"high performance, 45 W", nil}, {"level 24 dB", nil}, {"静音档 24 dB", []string{"quiet"}}, {"auf höchster Stufe 52 dB", []string{"max"}},
		{"maximise your comfort at 45 W", nil},
	} {
		if got := Mentioned(c.text); !slices.Equal(got, c.want) {
			t.Errorf("%q: %q, want %q", c.text, got, c.want)
		}
	}
}
