package listing

import (
	"strings"
	"testing"
)

// TestOneReader: the reader of listings and the rules on words read one number in one way, by the language of the text. That a
// point parts thousands in these languages: usage.
func TestOneReader(t *testing.T) {
	for _, text := range []string{
		"Grumbeck Zubbin 40 Luftreiniger für das Büro und die Werkstatt\nLuftreinigungsleistung (CADR): 900 m³/h\nLuftdurchsatz des Gerätes: 1.200 m³/h\n",
		"Grumbeck Zubbin 40, purificador de aire para la oficina y el taller\nCaudal de aire limpio (CADR): 900 m³/h\nCaudal de aire del aparato: 1.200 m³/h\n",
		"Grumbeck Zubbin 40, depuratore d'aria per l'ufficio e la casa di campagna\nPortata d'aria pulita (CADR): 900 m³/h\nPortata d'aria della ventola: 1.200 m³/h\n",
	} {
		r := vet(t, text)
		for _, f := range r.Findings {
			if f.Rule == "R23" || f.Rule == "CX-01" {
				t.Errorf("%q: %s: %s", text, f.Rule, f.Why)
			}
		}
		if len(r.Stated) != 1 || r.Stated[0].Value != 1200 {
			t.Errorf("%q: stated %+v, want an air flow of 1200 m3/h", text, r.Stated)
		}
	}
}

// TestNewer: what a newer capture changed, dropped and added, by what it is about.
func TestNewer(t *testing.T) {
	old := vet(t, "Grumbeck Zubbin 40\nCADR 380 m³/h for smoke on turbo. Noise 58 dB(A) on turbo, 24 dB(A) on sleep. Price 249 EUR.")
	now := vet(t, "Grumbeck Zubbin 40\nCADR 340 m³/h for smoke on turbo. Noise 58 dB(A) on turbo. Price 249 EUR. Kills bacteria.")
	c := Compare(old, now)
	if len(c.Changed) != 1 || !strings.Contains(c.Changed[0].Now, "340") || len(c.Dropped) != 1 || !strings.Contains(c.Dropped[0].What, "sleep") || c.Same != 2 {
		t.Errorf("%+v", c)
	}
	if len(c.Added) == 0 || !strings.HasPrefix(c.Added[0].What, "words: BIO-01") {
		t.Errorf("added %+v", c.Added)
	}
	if c := Compare(old, old); len(c.Changed)+len(c.Dropped)+len(c.Added) != 0 {
		t.Errorf("a listing against itself: %+v", c)
	}
}

// TestHiddenAndData: tabs of the offer are read, other hidden text is set apart, and the page's own data fill in what it does not show.
func TestHiddenAndData(t *testing.T) {
	x, err := Read("a.html", strings.NewReader(`<html><script type="application/ld+json">{"@type":"Product","name":"Zubbin 40","additionalProperty":[{"name":"CADR","value":"380","unitText":"m³/h"}],"isRelatedTo":{"@type":"Product","additionalProperty":[{"name":"CADR","value":"900","unitText":"m³/h"}]}}</script>
<h1>Grumbeck Zubbin 40</h1><div class="tab-panel" style="display:none"><div><span>Rated power</span><span>48 W</span></div></div><div style="display:none">Zubbin 40 Grand: 90 W</div></html>`))
	if err != nil {
		t.Fatal(err)
	}
	r := Vet(x)
	got := map[string]float64{}
	for _, d := range r.Claims {
		got[string(d.Claim.Attribute)] = d.Claim.Claimed.High
	}
	if len(got) != 2 || got["delivery rate"] != 380 || got["power"] != 48 || len(r.Asides) != 1 || r.Asides[0].Of != ofHidden {
		t.Errorf("read %v, passed over %+v", got, r.Asides)
	}
}
