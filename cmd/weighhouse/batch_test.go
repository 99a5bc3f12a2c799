package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// jsonLines FILE checks that every line of a file is a JSON object.
func jsonLines(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: jsonlines FILE")
	}
	in := bufio.NewScanner(strings.NewReader(ts.ReadFile(args[0])))
	n := 0
	for ; in.Scan(); n++ {
		var v map[string]any
		if err := json.Unmarshal(in.Bytes(), &v); err != nil {
			ts.Fatalf("%s:%d: %v: %s", args[0], n+1, err, in.Text())
		}
	}
	if n == 0 {
		ts.Fatalf("%s: no lines", args[0])
	}
}

// manyCases DIR N writes N small cases.
func manyCases(ts *testscript.TestScript, neg bool, args []string) {
	n, err := strconv.Atoi(args[1])
	if neg || len(args) != 2 || err != nil {
		ts.Fatalf("usage: manycases DIR N")
	}
	ts.Check(writeCases(ts.MkAbs(args[0]), n, 120))
}

// waitFor FILE waits for a file to be there, for a minute at most.
func waitFor(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: waitfor FILE")
	}
	for from := time.Now(); time.Since(from) < time.Minute; time.Sleep(2 * time.Millisecond) {
		if _, err := os.Stat(ts.MkAbs(args[0])); err == nil {
			return
		}
	}
	ts.Fatalf("%s did not come in a minute", args[0])
}

// noParts DIR checks that no temporary file is left.
func noParts(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: noparts DIR")
	}
	ts.Check(filepath.WalkDir(ts.MkAbs(args[0]), func(p string, d fs.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(p, ".part") {
			return fmt.Errorf("%s was left behind", p)
		}
		return err
	}))
}

// writeCases writes n cases of six logs each (three natural decays, three with the unit on), of rows readings, a second
// apart, and five claims. The decay rates are 0.3 and 6 per hour about a background of 4, with a ripple in place of noise.
func writeCases(dir string, n, rows int) error {
	for i := range n {
		files := caseFiles(i, rows)
		at := filepath.Join(dir, fmt.Sprintf("case-%03d", i))
		for name, text := range files {
			p := filepath.Join(at, filepath.FromSlash(name))
			if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
				return err
			}
			if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
				return err
			}
		}
	}
	return nil
}

func caseFiles(i, rows int) map[string]string {
	f := map[string]string{
		"spec/product.csv": "field,value\nmaker,Invented Maker\nmodel,Unit " + strconv.Itoa(i) + "\nprice,199\ncurrency,EUR\n",
		"spec/claims.csv": "id,attribute,value,unit,bound,setting,particle,basis,wording,source,captured\n" +
			"C1,delivery rate,250,m3/h,at least,max,smoke,,Cleans 250 m3/h,box,2026-04-20\n" +
			"C2,room area,35,m2,at least,max,,4.8 ach; 2.4 m ceiling,For rooms up to 35 m2,listing,2026-04-20\n" +
			"C3,power,40,W,at most,max,,,40 W,rating plate,2026-04-20\n" +
			"C4,noise,52,dB(A),at most,max,,1 m,52 dB(A) at 1 m,manual,2026-04-20\n" +
			"C5,filter grade,,,,,,,True HEPA filter,box,2026-04-20\n",
		"lab/test.csv":        "field,value\ntester,Invented Bench\ndate,2026-05-04\nsample,one unit bought in a shop\nmethod,room\n",
		"lab/room.csv":        "item,value,unit,±\nvolume,45,m3,0.9\n",
		"lab/instruments.csv": "id,measures,serial,calibrated,accuracy\npm,particles,11,2026-01-10,5 %\nwatt,power,12,2026-01-10,2 %\nsound,sound,13,2026-01-10,1.4 dB\n",
		"lab/sound.csv":       "setting,distance,level,background,instrument\nmax,1,51.2,30,sound\nmax,1,51.6,30,sound\nmax,1,50.9,30,sound\n",
		"lab/power.csv":       "setting,watts,instrument\nmax,38.2,watt\nmax,38.6,watt\n",
	}
	decay := "run,state,setting,particle,log,time,value,background,background ±,instrument\n"
	for k := range 3 {
		decay += fmt.Sprintf("off %d,off,,smoke,logs/off-%d.csv,time,pm2.5,4,0.6,pm\n", k+1, k+1)
		f[fmt.Sprintf("logs/off-%d.csv", k+1)] = decayLog(rows, 0.3+0.01*float64(k), i)
	}
	for k := range 3 {
		decay += fmt.Sprintf("on %d,on,max,smoke,logs/on-%d.csv,time,pm2.5,4,0.6,pm\n", k+1, k+1)
		f[fmt.Sprintf("logs/on-%d.csv", k+1)] = decayLog(rows, 6+0.05*float64(k), i)
	}
	f["lab/decay.csv"] = decay
	return f
}

// decayLog is a log of an hour or less: a reading every 3600/rows seconds of a decay at rate per hour.
func decayLog(rows int, rate float64, seed int) string {
	var b strings.Builder
	b.WriteString("time [s],pm1,pm2.5,humidity\n")
	for k := range rows {
		h := float64(k) / float64(rows)
		c := 4 + 400*math.Exp(-rate*h)*(1+0.01*math.Sin(float64(k*k+seed)))
		fmt.Fprintf(&b, "%.1f,%.1f,%.2f,%d\n", h*3600, c/2, c, 40+k%9)
	}
	return b.String()
}

// The bar fits its terminal and counts; it is drawn over and cleared.
func TestBar(t *testing.T) {
	var w strings.Builder
	b := &bar{w: &w, width: 80, of: 10, done: 5, failed: 1, from: time.Now().Add(-10 * time.Second)}
	for _, c := range []struct {
		width int
		want  string
	}{
		{80, "███████████████░░░░░░░░░░░░░░░ 5 of 10 cases, 1 failed, about 10 s left"},
		{52, "█████░░░░░ 5 of 10 cases, 1 failed, about 10 s left"},
		{20, "5 of 10 cases, 1 f…"},
	} {
		b.width = c.width
		got := b.text(10 * time.Second)
		if want := c.want; c.width != 52 && got != want {
			t.Errorf("width %d: %q, want %q", c.width, got, want)
		}
		if n := len([]rune(got)); n >= c.width {
			t.Errorf("width %d: the bar has %d cells", c.width, n)
		}
	}
	b.width = 80
	if got := b.text(2000 * time.Second); !strings.HasSuffix(got, "about 33 min left") {
		t.Errorf("got %q", got)
	}
	b.draw(true)
	b.draw(false) // too soon: not drawn
	b.clear()
	b.clear()
	if got := strings.Count(w.String(), "\r\x1b[K"); got != 2 {
		t.Errorf("drawn and cleared once each: found %d, %q", got, w.String())
	}
	var none *bar
	none.draw(true)
	none.clear()
}
