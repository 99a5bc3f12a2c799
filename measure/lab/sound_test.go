package lab

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"weighhouse/measure/sheet"
)

// readTables reads a lab book of CSV tables.
func readTables(t *testing.T, tables map[string]string) (*Results, sheet.Problems) {
	t.Helper()
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "lab"), 0o755); err != nil {
		t.Fatal(err)
	}
	for name, text := range tables {
		if err := os.WriteFile(filepath.Join(dir, "lab", name+".csv"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	f, err := sheet.OpenFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	b, err := f.Book("lab")
	if err != nil {
		t.Fatal(err)
	}
	return Read(f, b)
}

// TestSoundTable: ranges, ±, k and positions of the tables sound and power, and the room's reverberation time.
func TestSoundTable(t *testing.T) {
	out, ps := readTables(t, map[string]string{
		"room": "item,value,unit,±\nvolume,40,m3,0.4\nreverberation time,400,ms,40\n",
		"sound": "setting,distance [m],position,level [dB(A)],±,k,background\nmax,1,north,49.7–50.3,0.9,3,30\nmax,1,east,\"50,4\",0.9,3,30\nmax,1,south,49 to 50,0.9,3,30\nmax,1,west,50.1,0.9,3,30\n" +
			"low,1,,31.5,1.0,,10\n",
		"power": "setting,watts [W],±,k\nmax,42.6-43.6,0.5,\nstandby,0.4,0.04,2\n",
	})
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	us := map[string]float64{}
	for _, m := range out.Measurements {
		for _, c := range m.Budget {
			us[m.Attribute+" "+m.Setting+" "+c.Name] = c.U
		}
	}
	for name, want := range map[string]float64{"noise max meter accuracy": 0.3, "noise low meter accuracy": 0.5, "power max meter accuracy": 0.25, "standby power standby meter accuracy": 0.02,
		"power max readings given as a range": 0.5 / math.Sqrt(3), "noise max readings given as a range": math.Hypot(0.3, 0.5) / math.Sqrt(3) / 4} {
		if math.Abs(us[name]-want) > 0.1*want {
			t.Errorf("%s: %g, want %g", name, us[name], want)
		}
	}
	if us["noise max positions"] == 0 || us["noise max room and position"] != 0 || us["noise max room correction K2"] == 0 || us["noise low room and position"] == 0 {
		t.Errorf("components: %v", us)
	}
	k2 := 10 * math.Log10(1+8*math.Pi*0.4/(0.161*40))
	if m := out.Measurements[0]; math.Abs(m.Value-(50.06-k2)) > 0.05 || m.RoomAdds != 0 {
		t.Errorf("%g dB, want %g", m.Value, 50.06-k2)
	}
	for name, tables := range map[string]map[string]string{
		"from the lower number":    {"sound": "setting,distance [m],level\nmax,1,50-49\n"},
		"reverberation time of 0":  {"room": "item,value,unit\nvolume,40,m3\nreverberation time,40,s\n"},
		"uncertainty is not neg":   {"power": "setting,watts [W],±\nmax,43,-1\n"},
		"coverage factor is above": {"sound": "setting,distance [m],level,±,k\nmax,1,50,1,0\n"},
	} {
		if _, ps := readTables(t, tables); len(ps) != 1 || !strings.Contains(ps[0].Error(), name) {
			t.Errorf("%s: %v", name, ps)
		}
	}
}
