package lab

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"weighhouse/measure/sheet"
)

// FuzzRead replaces one table of a small sound lab book by any content: the reader gives results that are numbers, or
// problems, and does not give up.
func FuzzRead(f *testing.F) {
	sound := map[string]string{
		"test":        "field,value\nmethod,room\ndate,2026-05-14\n",
		"room":        "item,value,unit,±\nlength,5,m,0.02\nwidth,4,m,0.02\nheight,2.5,m,0.02\n",
		"instruments": "id,measures,accuracy\nPM,particle mass,10 %\nS,sound level,1.4 dB\nW,power,2 % + 0.5 W\n",
		"decay":       "run,state,setting,particle,log,value,background,background ±,instrument\na,off,,smoke,off.csv,v,2,0.5,PM\nb,on,max,smoke,on.csv,v,2,0.5,PM\n",
		"sound":       "setting,distance,level [dB(A)],background,instrument\nmax,1,54,24,S\nmax,1,55,24,S\n",
		"power":       "setting,watts,instrument\nmax,46,W\nstandby,0.4,W\n",
		"counts":      "size,upstream,downstream,upstream volume,downstream volume,setting\n0.3,8420,4,2,2,max\n",
		"loading":     "hours,delivery rate,unit,±,run,dose\n0,,,,b,0\n480,243,m3/h,10,,912\n960,236,m3/h,10,,1824\n",
		"weights":     "item,grams,±\ncarbon,311.4,4\n",
		"costs":       "item,value,currency,option\nelectricity,0.31,EUR,\nhours per day,12,,\nfilter,45,EUR,own\nfilters per year,1,,own\n",
		"tolerances":  "attribute,tolerance,unit,source\ncarbon mass,3,%,own\n",
	}
	logs := map[string]string{"off.csv": curve(0.2), "on.csv": curve(4)}
	for i, name := range Tables {
		f.Add(byte(i), []byte(sound[name]))
	}
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, which byte, data []byte) {
		sub, err := os.MkdirTemp(dir, "")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(sub)
		if err := os.Mkdir(filepath.Join(sub, "lab"), 0o755); err != nil {
			t.Fatal(err)
		}
		write := func(name, text string) {
			if err := os.WriteFile(filepath.Join(sub, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		for i, name := range Tables {
			if i == int(which)%len(Tables) {
				write("lab/"+name+".csv", string(data))
			} else {
				write("lab/"+name+".csv", sound[name])
			}
		}
		for name, text := range logs {
			write(name, text)
		}
		c, err := sheet.OpenFolder(sub)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		b, err := c.Book("lab")
		if b == nil || err != nil {
			return
		}
		r, ps := Read(c, b)
		if len(ps) > 0 {
			if strings.Contains(ps.Error(), "runtime error") {
				t.Fatal(ps)
			}
			return
		}
		for _, m := range r.Measurements {
			if math.IsNaN(m.Value) || math.IsInf(m.Value, 0) || math.IsNaN(m.Std) || m.Std < 0 {
				t.Fatalf("%s %s: %v, u %v", m.Attribute, m.Setting, m.Value, m.Std)
			}
			for _, p := range m.Budget {
				if math.IsNaN(p.U) || p.U < 0 {
					t.Fatalf("%s %s: %s is %v", m.Attribute, m.Setting, p.Name, p.U)
				}
			}
		}
	})
}

// curve is the log of a decay of k per hour from 400, over a background of 2, every 30 s for 40 minutes.
func curve(k float64) string {
	var b strings.Builder
	b.WriteString("time [s],v (ug/m3)\n")
	for s := 0; s <= 2400; s += 30 {
		b.WriteString(sheetNumber(float64(s)) + "," + sheetNumber(2+400*math.Exp(-k*float64(s)/3600)+0.1*math.Sin(float64(s))) + "\n")
	}
	return b.String()
}

func sheetNumber(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }
