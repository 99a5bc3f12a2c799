package variations

import (
	"math/rand/v2"
	"slices"
	"strings"
)

// Kind is one way in which a case differs from the plain one.
type Kind struct {
	Name   string
	Mended bool // the program was changed for it before this list was made; the others show it at first sight
	Differ bool // what it says is not what the plain case says: an equal audit may be wrong, and an error, a refused run or a note is wanted
	Make   func(r *rand.Rand, c *Case)
}

func header(f func(r *rand.Rand, h string) string) func(r *rand.Rand, c *Case) {
	return func(r *rand.Rand, c *Case) {
		t := c.Tables[some(r, tables...)]
		for j := range t[0] {
			t[0][j] = f(r, t[0][j])
		}
	}
}

func number(f func(s string) string) func(r *rand.Rand, c *Case) {
	return func(r *rand.Rand, c *Case) { c.change(r, f, append([]string{"spec/claims"}, readings...)...) }
}

func row(at func(n int) int, cells ...string) func(r *rand.Rand, c *Case) {
	return func(r *rand.Rand, c *Case) {
		name := some(r, tables...)
		t := c.Tables[name]
		c.Tables[name] = slices.Insert(t, at(len(t)), slices.Clone(cells))
	}
}

func top(int) int      { return 0 }
func second(int) int   { return 1 }
func bottom(n int) int { return n }

func logs(path string, f func(s string) string) func(r *rand.Rand, c *Case) {
	return func(_ *rand.Rand, c *Case) { c.Logs[path] = f(c.Logs[path]) }
}

func decayCell(run int, column, fresh string) func(r *rand.Rand, c *Case) {
	return func(_ *rand.Rand, c *Case) { c.Tables["lab/decay"][run][c.column("lab/decay", column)] = fresh }
}

func everyNth(n int, code string) func(s string) string {
	return func(s string) string {
		lines := strings.Split(strings.TrimSpace(s), "\n")
		for i := n; i < len(lines); i += n {
			f := strings.Split(lines[i], ",")
			f[1] = code
			lines[i] = strings.Join(f, ",")
		}
		return strings.Join(lines, "\n") + "\n"
	}
}

// Kinds lists the kinds of variation.
func Kinds() []Kind {
	suffix := func(s string) func(string) string { return func(x string) string { return x + s } }
	prefix := func(s string) func(string) string { return func(x string) string { return s + x } }
	return []Kind{
		{"plain", true, false, func(*rand.Rand, *Case) {}},
		{"title", true, false, row(top, "As printed on the box and measured in May")},
		{"two titles", true, false, func(r *rand.Rand, c *Case) {
			n := some(r, tables...)
			c.Tables[n] = slices.Insert(c.Tables[n], 0, []string{"Lumb 12"}, []string{"second edition"})
		}},
		{"header marks", true, false, header(func(r *rand.Rand, h string) string { return h + []string{":", "*", " *", ""}[r.IntN(4)] })},
		{"units row", true, false, func(_ *rand.Rand, c *Case) {
			t := c.Tables["lab/room"]
			c.Tables["lab/room"] = slices.Insert(t, 1, []string{"", "[m]", "", "[m]"})
		}},
		{"footnote", true, false, row(bottom, "* see the photographs of the label")},
		{"total row", true, false, func(r *rand.Rand, c *Case) {
			n := some(r, "lab/power", "lab/weights", "lab/counts", "lab/sound")
			c.Tables[n] = append(c.Tables[n], []string{"Mean", "1", "1"})
		}},
		{"unit in cell", true, false, func(_ *rand.Rand, c *Case) { c.columnOf("lab/room", "value", suffix(" m")) }},
		{"± in cell", true, false, func(_ *rand.Rand, c *Case) { c.columnOf("lab/room", "±", prefix("±")) }},
		{"± in cm", true, false, func(_ *rand.Rand, c *Case) {
			c.Tables["lab/room"][0][3] = "± [cm]"
			c.columnOf("lab/room", "±", func(string) string { return "2" })
		}},
		{"dashes", true, false, func(_ *rand.Rand, c *Case) {
			c.columnOf("lab/power", "watts", func(s string) string {
				if s == "" {
					return "---"
				}
				return s
			})
		}},
		{"same log twice", true, true, decayCell(5, "log", "logs/on1.csv")},
		{"same bytes", true, true, func(_ *rand.Rand, c *Case) { c.Logs["logs/on2.csv"] = c.Logs["logs/on1.csv"] }},
		{"off names on", true, true, decayCell(1, "log", "logs/on3.csv")},
		{"on and off swapped", true, true, func(_ *rand.Rand, c *Case) {
			c.columnOf("lab/decay", "state", func(s string) string { return map[string]string{"on": "off", "off": "on"}[s] })
		}},
		{"temperature column", true, true, func(_ *rand.Rand, c *Case) { c.columnOf("lab/decay", "value", func(string) string { return "Temp" }) }},
		{"counts swapped", true, true, func(_ *rand.Rand, c *Case) {
			h := c.Tables["lab/counts"][0]
			h[1], h[2] = h[2], h[1]
		}},
		{"power zeros", true, false, logs("logs/power.csv", everyNth(13, "0"))},
		{"power codes", true, false, logs("logs/power.csv", everyNth(29, "9999"))},
		{"power zeros, a third", true, true, logs("logs/power.csv", everyNth(3, "0"))},
		{"percent of nothing", true, true, number(suffix(" %"))},
		{"raised digit", true, true, func(_ *rand.Rand, c *Case) { c.Rich["lab/power!B2"] = "1" }},
		{"header against unit", true, true, func(_ *rand.Rand, c *Case) { c.Tables["lab/room"][0][1] = "value [cm]" }},

		{"columns shuffled", false, false, func(r *rand.Rand, c *Case) {
			t := c.Tables[some(r, tables...)]
			p := r.Perm(len(t[0]))
			for i, row := range t {
				full := make([]string, len(p))
				for j, k := range p {
					if k < len(row) {
						full[j] = row[k]
					}
				}
				t[i] = full
			}
		}},
		{"blank rows", false, false, row(second, "")},
		{"blank first column", false, false, func(r *rand.Rand, c *Case) {
			t := c.Tables[some(r, tables...)]
			for i := range t {
				t[i] = append([]string{""}, t[i]...)
			}
		}},
		{"spaces about", false, false, func(r *rand.Rand, c *Case) {
			for _, row := range c.Tables[some(r, tables...)] {
				for j := range row {
					row[j] = " " + row[j] + "\u00a0"
				}
			}
		}},
		{"plus sign", false, false, number(prefix("+"))},
		{"last point", false, false, number(func(s string) string {
			if strings.Contains(s, ".") {
				return s
			}
			return s + "."
		})},
		{"exponent", false, false, number(suffix("e0"))},
		{"wide digits", false, false, number(func(s string) string {
			return strings.Map(func(r rune) rune {
				if r >= '0' && r <= '9' {
					return r - '0' + '０'
				}
				return r
			}, s)
		})},
		{"decimal comma", false, false, number(func(s string) string { return strings.Replace(s, ".", ",", 1) })},
		{"point lost", false, true, func(r *rand.Rand, c *Case) {
			c.change(r, func(s string) string { return strings.Replace(s, ".", "", 1) }, "lab/room")
		}},
		{"star behind a number", false, true, number(suffix("*"))},
		{"about", false, true, number(prefix("~"))},
		{"below", false, true, number(prefix("<"))},
		{"two numbers", false, true, number(suffix(" / 3"))},
		{"apostrophe before", false, false, number(prefix("'"))},
		{"unit grown on", false, false, func(_ *rand.Rand, c *Case) { c.columnOf("lab/sound", "distance", suffix("m")) }},
		{"other unit in cell", false, false, func(_ *rand.Rand, c *Case) {
			c.columnOf("lab/power", "watts", func(s string) string {
				if s == "" {
					return s
				}
				return s + "e-3 kW"
			})
		}},
		{"units in words", false, false, func(_ *rand.Rand, c *Case) {
			c.columnOf("lab/room", "unit", func(string) string { return "Metres" })
		}},
		{"remarks column", false, false, func(r *rand.Rand, c *Case) {
			t := c.Tables[some(r, tables...)]
			for i := range t {
				t[i] = append(t[i], []string{"remarks", "seen twice"}[min(i, 1)])
			}
		}},
		{"header in another language", false, true, func(_ *rand.Rand, c *Case) { c.Tables["lab/room"][0][1] = "Wert" }},
		{"± header in words", false, false, func(r *rand.Rand, c *Case) {
			c.Tables["lab/room"][0][3] = some(r, "uncertainty", "+/-", "U", "plus minus")
		}},
		{"value and ± swapped", false, true, func(_ *rand.Rand, c *Case) {
			h := c.Tables["lab/room"][0]
			h[1], h[3] = h[3], h[1]
		}},
		{"ditto marks", false, true, func(_ *rand.Rand, c *Case) {
			for i := 2; i < 4; i++ {
				c.Tables["lab/sound"][i][0] = "\""
			}
		}},
		{"merged setting", false, true, func(_ *rand.Rand, c *Case) {
			for i := 2; i < 4; i++ {
				c.Tables["lab/sound"][i][0] = ""
			}
		}},
		{"rows reversed", false, false, func(r *rand.Rand, c *Case) {
			slices.Reverse(c.Tables[some(r, "lab/room", "lab/instruments", "lab/weights")][1:])
		}},
		{"states shouted", false, false, func(_ *rand.Rand, c *Case) { c.columnOf("lab/decay", "state", strings.ToUpper) }},
		{"state in words", false, true, decayCell(4, "state", "running")},
		{"backslashes", false, false, func(_ *rand.Rand, c *Case) {
			c.columnOf("lab/decay", "log", func(s string) string { return strings.ReplaceAll(s, "/", `\`) })
		}},
		{"one on run is an off log", false, true, func(_ *rand.Rand, c *Case) {
			c.Logs["logs/on2.csv"] = c.Logs["logs/off1.csv"][:len(c.Logs["logs/off1.csv"])*2/5]
		}},
		{"one off run is an on log of another day", false, true, func(_ *rand.Rand, c *Case) {
			c.Logs["logs/off2.csv"] = decay(rand.New(rand.NewPCG(1, 2)), 6.05, 40)
		}},
		{"volts for watts", false, true, func(_ *rand.Rand, c *Case) { c.Tables["lab/power"][5][c.column("lab/power", "value")] = "volts" }},
		{"power held at zero", false, true, logs("logs/power.csv", func(s string) string {
			lines := strings.Split(s, "\n")
			for i := 200; i < 260; i++ {
				f := strings.Split(lines[i], ",")
				f[1] = "0.0"
				lines[i] = strings.Join(f, ",")
			}
			return strings.Join(lines, "\n")
		})},
		{"power codes of another make", false, true, logs("logs/power.csv", everyNth(31, "88888"))},
		{"power words", false, true, logs("logs/power.csv", everyNth(31, "OL"))},
		{"summary below a log", false, true, logs("logs/power.csv", func(s string) string { return s + "Average,44.7,230\n" })},
		{"log in milliwatts", false, false, logs("logs/power.csv", func(s string) string {
			lines := strings.Split(strings.TrimSpace(s), "\n")
			lines[0] = "time [s],watts [mW],volts [V]"
			for i := range lines[1:] {
				f := strings.Split(lines[i+1], ",")
				f[1] = strings.Replace(f[1], ".", "", 1) + "00"
				lines[i+1] = strings.Join(f, ",")
			}
			return strings.Join(lines, "\n") + "\n"
		})},
		{"sizes in nm", false, false, func(_ *rand.Rand, c *Case) {
			c.Tables["lab/counts"][0][0] = "size [nm]"
			c.columnOf("lab/counts", "size", func(string) string { return "300" })
		}},
		{"grams in kg", false, false, func(_ *rand.Rand, c *Case) {
			t := c.Tables["lab/weights"]
			t[0][1], t[0][2] = "grams [kg]", "± [g]"
			t[1][1], t[2][1] = "0.3114", "0.3109"
		}},
		{"thousands", false, false, func(_ *rand.Rand, c *Case) {
			c.columnOf("lab/counts", "upstream", func(s string) string { return s[:2] + "'" + s[2:] })
		}},
	}
}
