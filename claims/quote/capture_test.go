package quote

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weighhouse/claims"
)

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestCapture: words that were copied honestly are found however the page writes them, with their place; words that are
// not there are not.
func TestCapture(t *testing.T) {
	const words = "Captures 99.97 % of particles at 0.3 µm"
	for _, c := range []struct {
		name, file, text, words string
		want                    bool
		line                    int
	}{
		{"plain", "a.txt", "Head\n\n" + words + "\n", words, true, 3},
		{"line breaks", "a.txt", "Captures 99.97 %\nof particles\r\nat 0.3 µm", words, true, 1},
		{"no-break spaces", "a.html", "<p>Captures 99.97&nbsp;% of particles at&#160;0.3&#8239;&micro;m</p>", words, true, 1},
		{"tags between words", "a.html", "<p>\n<b>Captures</b> 99.<i>97</i>&thinsp;% of <a href=x>particles</a> at 0.3<span> µm</span></p>", words, true, 2},
		{"soft hyphens", "a.html", "<p>Cap&shy;tures 99.97 % of par\u00adticles at 0.3 µm</p>", words, true, 1},
		{"capital letters", "a.html", "<p>CAPTURES 99.97 % OF PARTICLES AT 0.3 µM</p>", words, true, 1},
		{"greek mu", "a.html", "<p>Captures 99.97 % of particles at 0.3 μm</p>", words, true, 1},
		{"mark of a note", "a.html", "<p>Captures 99.97 %<sup>1</sup> of particles at 0.3 µm</p>", words, true, 1},
		{"mark of a note, copied", "a.html", "<p>Captures 99.97 %<sup>1</sup> of particles at 0.3 µm</p>", "Captures 99.97 %¹ of particles at 0.3 µm", true, 1},
		{"asterisk", "a.html", "<p>Captures 99.97 %* of particles at 0.3 µm</p>", words, true, 1},
		{"cells of a table", "a.html", "<table><tr><th>Captures</th><td>99.97 %\n</td><td>of particles at 0.3 µm</td></tr></table>", words, true, 1},
		{"quotes", "a.html", "<p>A “whisper” quiet unit’s 24 dB</p>", `A "whisper" quiet unit's 24 dB`, true, 1},
		{"dashes", "a.txt", "Whisper – quiet: 24 dB", "Whisper-quiet: 24 dB", true, 1},
		{"power of a unit", "a.html", "<p>340 m<sup>3</sup>/h</p>", "340 m³/h", true, 1},
		{"left out", "a.html", "<p>Captures 99.97 % of smoke, dust and other particles at 0.3 µm</p>", "Captures 99.97 % … particles at 0.3 µm", true, 1},
		{"row of a table", "a.html", "<table><tr><td>Noise</td><td>24 dB</td><td>52 dB</td></tr></table>", "Noise | 52 dB", true, 1},
		{"alternative text", "a.html", `<img src=x alt="Captures 99.97 % of particles at 0.3 µm">`, words, true, 1},
		{"in a script", "a.html", "<script>x = {\"t\": \"Captures 99.97 % of particles at 0.3 µm\"}</script><p>Else</p>", words, true, 1},
		{"accents apart", "a.txt", "E\u0301limine la poussie\u0300re", "Élimine la poussière", true, 1},
		{"Windows-1252", "a.html", "<meta charset=windows-1252><p>340 m\xb3/h \x96 d\xe9bit</p>", "340 m³/h – débit", true, 1},
		{"UTF-16", "a.txt", "\xff\xfe4\x005\x00 \x00W\x00", "45 W", true, 1},
		{"another number", "a.html", "<p>Captures 99.9 % of particles at 0.3 µm</p>", words, false, 0},
		{"part of a number", "a.html", "<p>24 dB</p>", "4 dB", false, 0},
		{"part of a number behind", "a.html", "<p>noise 240 dB</p>", "noise 24", false, 0},
		{"part of a decimal", "a.txt", "2.4 dB", "4 dB", false, 0},
		{"part of a word", "a.txt", "45 Watts", "45 W", false, 0},
		{"another bound", "a.txt", "noise > 24 dB", "noise < 24 dB", false, 0},
		{"not there", "a.html", "<p>Else</p>", words, false, 0},
	} {
		p, why := open(c.file, []byte(c.text))
		if p == nil {
			t.Errorf("%s: not read: %s", c.name, why)
			continue
		}
		at, found, _ := p.find(c.words)
		if found != c.want || found && at.Line != c.line {
			t.Errorf("%s: found %v at %+v, want %v, line %d", c.name, found, at, c.want, c.line)
		}
	}
	for _, name := range []string{"a.png", "a.pdf", "a.jpg", "a.mhtml"} {
		if p, why := open(name, []byte("x")); p != nil || why == "" {
			t.Errorf("%s was read", name)
		}
	}
}

// TestLater: words gone, changed, still there, each with its place.
func TestLater(t *testing.T) {
	s := spec(t, "id,attribute,value,unit,wording,source,captured,evidence",
		`A,power,45,W,Draws 45 W at full speed,listing,2026-04-20,one.html`,
		`B,noise,24,dB,Only 24 dB in the night nursery,listing,2026-04-20,one.html`,
		`C,carbon mass,500,g,500 g of activated carbon against odours,listing,2026-04-20,one.html`,
		`D,power,48,W,Draws 48 W at full speed,listing,2026-07-06,two.html`,
		`E,ozone,5,ppb,Ozone below 5 ppb,box,2026-04-20,box.png`)
	files := map[string]string{
		"one.html": "<p>Draws 45 W at full speed</p><p>Only 24 dB in the night nursery</p><p>500 g of activated carbon against odours</p>",
		"two.html": "<p>New!</p>\n<p>Draws 48 W at full speed</p>\n<p>Activated carbon against odours, 300 g</p>",
	}
	Check(s, func(path string) ([]byte, string) { return []byte(files[path]), "" })
	want := map[string]string{"A": "changed two.html:2 Draws 48 W at full speed", "B": "gone", "C": "changed two.html:3 Activated carbon against odours, 300 g"}
	for _, c := range s.Claims {
		got := ""
		for _, l := range c.Seen.Later {
			got = l.State
			if l.At.Line > 0 {
				got += " " + l.At.Path + ":" + string(rune('0'+l.At.Line)) + " " + l.Text
			}
		}
		if got != want[c.ID] {
			t.Errorf("%s: %q, want %q", c.ID, got, want[c.ID])
		}
	}
	if e := s.Claims[4].Seen; e.Capture != claims.NotChecked || e.Quotable() || e.Held() != nil || !strings.Contains(strings.Join(e.Lacks, ";"), "picture") {
		t.Errorf("a photograph: %+v", e)
	}
}
