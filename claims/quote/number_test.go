package quote

import (
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure/sheet"
)

// spec reads a spec book of one claims table, written as CSV lines.
func spec(t *testing.T, lines ...string) *claims.Spec {
	t.Helper()
	s, ps := read(t, lines...)
	if err := ps.Err(); err != nil {
		t.Fatal(err)
	}
	return s
}

// TestNumber: what an honest row may look like beside its words, and what differs. Conversions by the definitions of the
// units (international foot and pound, 365 days a year); the forms of writing are this project's own.
func TestNumber(t *testing.T) {
	for _, c := range []struct {
		attribute, value, unit, basis, wording string
		want                                   claims.Standing
	}{
		{"delivery rate", "340", "m3/h", "", "Smoke CADR 200 cfm", claims.Stands},
		{"delivery rate", "340", "m3/h", "", "CADR 340 m³/h (200 cfm)", claims.Stands},
		{"delivery rate", "200", "cfm", "", "CADR: 340 m³ / h", claims.Stands},
		{"delivery rate", "1200", "m3/h", "", "bis zu 1.200 m³/h", claims.Stands},
		{"delivery rate", "1.2", "m3/h", "", "bis zu 1.200 m³/h", claims.Stands}, // either reading: caught as a rate no unit has
		{"delivery rate", "340", "m3/h", "", "three hundred and forty cubic metres per hour", claims.Stands},
		{"delivery rate", "340", "m3/h", "", "洁净空气量 340立方米/小时", claims.Stands},
		{"delivery rate", "340", "m3/h", "", "CADR ３４０ m³/h", claims.Stands},
		{"delivery rate", "340", "m3/h", "", "CADR (m³/h): smoke 340, dust 350", claims.Stands},
		{"delivery rate", "340", "m3/h", "", "CADR (cfm): 200", claims.Stands},
		{"delivery rate", "340", "m3/h", "", "CADR 340 cfm", claims.Differs},
		{"delivery rate", "340", "m3/h", "", "CADR 345 m³/h", claims.Differs},
		{"delivery rate", "340", "m3/h", "", "CADR 340", claims.Differs},
		{"delivery rate", "340", "m3/h", "", "Fresh as a spring wood", claims.Differs},
		{"delivery rate", "340", "m3/h", "", "The L340 moves 345 m³/h", claims.Differs},
		{"noise", "24-52", "dB(A)", "1 m", "24 to 52 dB(A) at 1 m", claims.Stands},
		{"noise", "24-52", "dB", "1 m", "24/38/52 dB", claims.Stands},
		{"noise", "24", "dB(A)", "1 m", "as low as twenty-four decibels", claims.Stands},
		{"noise", "24", "dB(A)", "1 m", "Geräuschpegel: 24 dB", claims.Stands},
		{"noise", "24", "dB(A)", "1 m", "as low as 21 dB", claims.Differs},
		{"power", "45", "W", "", "45W", claims.Stands},
		{"power", "45", "W", "", "0.045 kW", claims.Stands},
		{"power", "45", "W", "", "fünfundvierzig Watt", claims.Stands},
		{"power", "45", "W", "", "4.5 W", claims.Differs},
		{"standby power", "0.3", "W", "", "Standby .3 W", claims.Stands},
		{"standby power", "0.5", "W", "", "less than 0,5 W in standby", claims.Stands},
		{"annual energy", "394", "kWh", "24 h/day", "394 kWh/year", claims.Stands},
		{"filter efficiency", "99.97", "%", "", "99,97 % bei 0,3 µm", claims.Stands},
		{"filter efficiency", "99.97", "%", "", "ninety-nine point nine seven percent", claims.Stands},
		{"filter efficiency", "90", "%", "", "removes nine out of ten particles", claims.Stands},
		{"filter efficiency", "99", "%", "", "除去率百分之九十九", claims.Stands},
		{"filter efficiency", "99.97", "%", "", "99.9 % of particles", claims.Differs},
		{"filter life", "6", "months", "", "Change it every half year", claims.Stands},
		{"filter life", "6", "months", "", "twice a year, every six months", claims.Stands},
		{"filter life", "6", "months", "", "滤网半年更换", claims.Stands},
		{"filter life", "18", "months", "", "hält anderthalb Jahre", claims.Stands},
		{"filter life", "18", "months", "", "lasts 1½ years", claims.Stands},
		{"filter life", "18", "months", "", "lasts a year and a half", claims.Stands},
		{"filter life", "18", "months", "", "dure un an et demi", claims.Stands},
		{"filter life", "12", "months", "12 h/day", "lasts one year at 12 hours a day", claims.Stands},
		{"filter life", "12", "months", "12 h/day", "lasts 365 days", claims.Stands},
		{"filter life", "6-8", "months", "", "6 to 8 months", claims.Stands},
		{"filter life", "4380", "h", "12 h/day", "12 months at 12 hours a day", claims.Stands},
		{"filter life", "12", "months", "", "lasts 6 months", claims.Differs},
		{"room area", "60", "m2", "", "up to 645 sq. ft.", claims.Stands},
		{"room area", "60", "m2", "", "for 60㎡", claims.Stands},
		{"room area", "180", "ft2", "", "a 12 x 15 ft room", claims.Stands},
		{"room area", "60", "m2", "", "for 60 ft²", claims.Differs},
		{"clean time", "30", "min", "", "in half an hour", claims.Stands},
		{"clean time", "90", "min", "", "in 1 h 30 min", claims.Stands},
		{"clean time", "12", "min", "", "in just\u00a012\u00a0minutes", claims.Stands},
		{"clean time", "12", "min", "", "en douze minutes", claims.Stands},
		{"carbon mass", "1.5", "kg", "", "3.3 lb of carbon", claims.Stands},
		{"carbon mass", "500", "g", "", "half a kilogram of carbon", claims.Stands},
		{"carbon mass", "500", "g", "", "0,5 kg Aktivkohle", claims.Stands},
		{"carbon mass", "500", "g", "", "1.1 lb of carbon", claims.Stands},
		{"ozone", "5", "ppb", "", "below 0.005 ppm", claims.Stands},
		{"ozone", "50", "ppb", "", "below 0.05 ppm", claims.Stands},
		{"ozone", "5", "ppb", "", "below 0.05 ppm", claims.Differs},
	} {
		s := spec(t, "attribute,value,unit,basis,wording", row(c.attribute, c.value, c.unit, c.basis, c.wording))
		Check(s, nil)
		if got := s.Claims[0].Seen; got.Number != c.want {
			t.Errorf("%s %s %s, %q: %s, want %s (%s)", c.attribute, c.value, c.unit, c.wording, got.Number, c.want, strings.Join(got.Why, "; "))
		}
	}
}

// TestSettingAndParticle: a row's setting and particle against its words.
func TestSettingAndParticle(t *testing.T) {
	for _, c := range []struct {
		attribute, value, unit, setting, particle, wording string
		want                                               claims.Standing
	}{
		{"noise", "24", "dB(A)", "", "", "Only 24 dB in sleep mode", claims.Differs},
		{"noise", "24", "dB(A)", "max", "", "24 dB(A) on low speed", claims.Differs},
		{"noise", "24", "dB(A)", "sleep", "", "Only 24 dB in sleep mode", claims.Stands},
		{"noise", "33", "dB(A)", "sleep", "", "max. 33 dB(A)", claims.Stands},
		{"noise", "24", "dB(A)", "", "", "Whisper quiet, 24 dB", claims.Stands},
		{"noise", "52", "dB(A)", "turbo", "", "52 dB at top speed, 24 dB in sleep mode", claims.Stands},
		{"noise", "40", "dB(A)", "speed 2", "", "40 dB on speed 3", claims.Differs},
		{"noise", "40", "dB(A)", "turbo", "", "40 dB on speed 3", claims.Stands},
		{"delivery rate", "340", "m3/h", "", "smoke", "Pollen CADR 340 m³/h", claims.Differs},
		{"delivery rate", "340", "m3/h", "", "smoke", "Removes dust, pollen and smoke: CADR 340 m³/h", claims.Stands},
		{"delivery rate", "340", "m3/h", "", "smoke", "CADR 340 m³/h", claims.Stands},
		{"filter efficiency", "99.97", "%", "", "0.3 um", "99.97 % of particles of 0.1 µm", claims.Differs},
		{"filter efficiency", "99.97", "%", "", "0.3 um", "99.97 % of particles of 300 nm", claims.Stands},
	} {
		s := spec(t, "attribute,value,unit,setting,particle,wording", row(c.attribute, c.value, c.unit, c.setting, c.particle, c.wording))
		Check(s, nil)
		if got := s.Claims[0].Seen; got.Number != c.want {
			t.Errorf("%s, setting %q, particle %q, %q: %s, want %s (%s)", c.attribute, c.setting, c.particle, c.wording, got.Number, c.want, strings.Join(got.Why, "; "))
		}
	}
}

func row(cells ...string) string {
	for i, c := range cells {
		cells[i] = `"` + strings.ReplaceAll(c, `"`, `""`) + `"`
	}
	return strings.Join(cells, ",")
}

func read(t *testing.T, lines ...string) (*claims.Spec, sheet.Problems) {
	t.Helper()
	dir := t.TempDir()
	write(t, dir+"/spec/claims.csv", strings.Join(lines, "\n")+"\n")
	f, err := sheet.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	b, err := f.Book("spec")
	if err != nil {
		t.Fatal(err)
	}
	return claims.Read(b)
}
