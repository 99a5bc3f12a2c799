package listing

import (
	"strings"
	"testing"
)

// TestNumberWords: numbers in words by the grammar of the languages (no outside source: each row is plain reading).
func TestNumberWords(t *testing.T) {
	for _, c := range []struct {
		text, lang string
		want       float64
		rest       string
	}{
		{"twenty-two decibels", "en", 22, " decibels"}, {"three hundred and ten m³/h", "en", 310, " m³/h"},
		{"ninety-nine point nine five percent", "en", 99.95, " percent"}, {"zero point three microns", "en", 0.3, " microns"},
		{"half a watt", "en", 0.5, " watt"}, {"Two thousand five hundred hours", "en", 2500, " hours"}, {"hundred watts", "en", 100, " watts"},
		{"six to eight months", "en", 6, " to eight months"}, {"twenty and quiet", "en", 20, " and quiet"}, {"forty eight dB", "en", 48, " dB"},
		{"five six", "en", 5, " six"}, {"one hundred and five", "en", 105, ""},
		{"fünfundzwanzig Quadratmeter", "de", 25, " Quadratmeter"}, {"dreihundertzehn m³/h", "de", 310, " m³/h"}, {"zwölf Monate", "de", 12, " Monate"},
		{"zweitausendfünfhundert Stunden", "de", 2500, " Stunden"}, {"null Komma drei", "de", 0.3, ""},
		{"vingt-cinq mètres", "fr", 25, " mètres"}, {"treinta y cinco m²", "es", 35, " m²"}, {"venticinque dB", "it", 25, " dB"},
	} {
		n, ok := scanNumberWord(c.text, 0, c.lang)
		if !ok || n.value != c.want || c.text[n.end:] != c.rest {
			t.Errorf("%q: %v, %v and rest %q; want %v and %q", c.text, n.value, ok, c.text[n.end:], c.want, c.rest)
		}
	}
	for _, c := range []struct{ text, lang string }{{"once a day", "en"}, {"and five", "en"}, {"point five", "en"}, {"hundreds of", "en"}, {"und zwei", "de"},
		{"zwanzigund", "de"}, {"zehnundzwanzig", "de"}, {"twenty", "de"}} {
		if n, ok := scanNumberWord(c.text, 0, c.lang); ok {
			t.Errorf("%q (%s) was read as %v", c.text, c.lang, n.value)
		}
	}
	if _, ok := scanNumberWord("twenty-two", 7, "en"); ok {
		t.Error("a number began inside another")
	}
}

// TestTables: cells that take several rows or columns, and tables in plain text.
func TestTables(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"a.html", "<table><tr><th rowspan=2>Mode<th colspan=2>CADR (m³/h)<th rowspan=2>dB(A)</tr><tr><th>Smoke<th>Dust</tr><tr><td>Night<td>60<td>66<td>19</tr></table>",
			"Night, CADR (m³/h), Smoke: 60|Night, CADR (m³/h), Dust: 66|Night, dB(A): 19"},
		{"a.html", "<table><tr><td rowspan=2>Filter<td>H13</tr><tr><td>400 g carbon</tr></table>", "Filter: H13|Filter: 400 g carbon"},
		{"a.html", "<table><tr><td colspan=99999999>wide<td>x</tr><tr><td rowspan=-3>Noise<td>50 dB</tr></table>", "Noise: 50 dB"},
		{"a.txt", "| Speed | Noise (dB(A)) | Power (W) |\n|---|--:|:-:|\n| 1 | 24 | 4 |\n", "Speed 1, Noise (dB(A)): 24|Speed 1, Power (W): 4"},
		{"a.txt", "x\nFan\tSound (dBA at 3 ft)\tPower (W)\nLow\t32\t14\n\nend", "Low, Sound (dBA at 3 ft): 32|Low, Power (W): 14|end"},
		{"a.txt", "no table | here\nnor | there", "no table | here|nor | there"},
	} {
		x, err := Read(c.name, strings.NewReader(c.text))
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		for _, line := range strings.Split(c.want, "|") {
			if strings.Contains(c.want, "no table") {
				line = c.want[:15]
			}
			if !strings.Contains("\n"+x.Body+"\n", "\n"+line+"\n") && !strings.Contains(x.Body, line) {
				t.Errorf("%q: no line %q in %q", c.text, line, x.Body)
			}
		}
	}
	x, err := Read("a.txt", strings.NewReader("intro\n| Speed | Noise (dB(A)) |\n|---|---|\n| High | 52 |\n"))
	if err != nil {
		t.Fatal(err)
	}
	i := strings.Index(x.Body, "52")
	if l, c := x.At(i); l != 4 || c != 10 {
		t.Errorf("the value of a plain table is at %d:%d, want 4:10; body %q", l, c, x.Body)
	}
}
