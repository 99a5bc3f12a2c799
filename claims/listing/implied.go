package listing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/setting"
	"weighhouse/measure/unit"
)

// Room says what a stated area implies at a stated delivery rate.
type Room struct {
	Claim      string   `json:"claim"` // id of the area
	Rate       string   `json:"rate"`  // id of the rate
	Area       float64  `json:"area_m2"`
	RateM3h    float64  `json:"rate_m3h"`
	Ceiling    float64  `json:"ceiling_m"`
	Stated     bool     `json:"ceiling_stated"`
	AirChanges float64  `json:"air_changes"` // RateM3h/(Area·Ceiling), 1/h
	Meets      []string `json:"meets"`       // the published rules by which the rate serves the area
	Misses     []string `json:"misses"`
	Text       string   `json:"text"`
}

// Area is the area that a stated rate serves by one published rule.
type Area struct {
	Rate    string  `json:"rate"` // id of the claim
	RateM3h float64 `json:"rate_m3h"`
	Rule    string  `json:"rule"`
	SameAs  string  `json:"same_as,omitempty"` // the rule's id in version 0.1.0
	Name    string  `json:"name"`
	Area    float64 `json:"area_m2"`
	Source  string  `json:"source"`
	Mark    string  `json:"mark"`
}

// Time says what a stated clean time implies at a stated delivery rate.
type Time struct {
	Claim   string  `json:"claim"`
	Rate    string  `json:"rate"`
	Minutes float64 `json:"minutes"`
	Volume  float64 `json:"volume_m3"`
	Changes float64 `json:"room_volumes"` // moved through the unit in that time
	Removed float64 `json:"removed"`      // part of the particles that this removes, 0…1, perfectly mixed, no source
	Text    string  `json:"text"`
}

// rounding is what a stated area and a stated rate may be off by being rounded (judgement): 219 ft² for 1.55 times 141 cfm.
const rounding = 0.01

// usualCeiling stands in where a listing states none: 2.4 m, the height that most room-size rules assume.
const usualCeiling = 2.4

// rates lists the claimed delivery rates of the highest setting: that for smoke first, which most room-size rules are about,
// then one that names no particle, then the others; of one kind the largest first. A listing that states rates only for named
// settings is taken, for each kind of particle, at the largest of them.
func rates(e Extract) []Said {
	var out []Said
	for _, d := range e.Claims {
		if d.Claim.Attribute == claims.DeliveryRate && d.Claim.Claimed != nil && highest(d.Claim.Setting) {
			out = append(out, d)
		}
	}
	if out == nil {
		for _, d := range e.Claims {
			if d.Claim.Attribute != claims.DeliveryRate || d.Claim.Claimed == nil {
				continue
			}
			i := slices.IndexFunc(out, func(o Said) bool { return o.Claim.Particle == d.Claim.Particle })
			if i < 0 {
				out = append(out, d)
			} else if d.Claim.Claimed.High > out[i].Claim.Claimed.High {
				out[i] = d
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Said) int {
		return cmp.Or(forRooms(a.Claim.Particle)-forRooms(b.Claim.Particle), compare(b.Claim.Claimed.High, a.Claim.Claimed.High))
	})
	return out
}

// forRooms orders the particles by how well their rate fits the rules on rooms.
func forRooms(particle string) int {
	return slices.Index([]string{"smoke", "", "pm2.5", "pm1", "dust", "pm10", "pollen"}, particle)
}

// ceilingOf is the one ceiling height that the listing states; 0 where it states none or several.
func ceilingOf(e Extract) float64 {
	h := 0.0
	for _, d := range e.Claims {
		if c := d.Claim.Basis.Ceiling; c > 0 && h > 0 && c != h {
			return 0
		} else if c > 0 {
			h = c
		}
	}
	return h
}

// areaBy is the area that a rate serves by a rule; one that is given by air changes alone takes the listing's own ceiling.
func areaBy(r measure.AreaRule, rate, ceiling float64) float64 {
	if ceiling > 0 && math.IsNaN(r.AreaPerM3h) && math.IsNaN(r.Remaining) && r.AirChanges > 0 {
		return rate / (r.AirChanges * ceiling)
	}
	return r.Area(rate)
}

// fits reports whether a rule speaks of the particle of a rate: one "per cfm of smoke" says nothing of pollen.
func fits(r measure.AreaRule, particle string) bool {
	return particle == "" || particle == "smoke" || !strings.Contains(r.Name, "smoke")
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// highest reports whether a setting is the highest by its name, or a claim that names none.
func highest(s string) bool { return setting.Asks(s) || setting.Top(s) }

// rooms sets each stated area against the largest stated rate.
func rooms(e Extract) []Room {
	rs := rates(e)
	if len(rs) == 0 {
		return nil
	}
	rate := rs[0]
	var out []Room
	for _, d := range e.Claims {
		if d.Claim.Attribute != claims.RoomArea || d.Claim.Claimed == nil {
			continue
		}
		x := Room{Claim: d.Claim.ID, Rate: rate.Claim.ID, Area: d.Claim.Claimed.High, RateM3h: rate.Claim.Claimed.High,
			Ceiling: d.Claim.Basis.Ceiling, Stated: d.Claim.Basis.Ceiling > 0}
		if !x.Stated {
			x.Ceiling = usualCeiling
		}
		x.AirChanges = measure.AirChanges(x.RateM3h, x.Area*x.Ceiling)
		for _, r := range measure.AreaRules() {
			if !fits(r, rate.Claim.Particle) {
				continue
			}
			if areaBy(r, x.RateM3h, d.Claim.Basis.Ceiling) >= d.Claim.Claimed.Low*(1-rounding) { // of a range its low end, in the maker's favour
				x.Meets = append(x.Meets, r.ID)
			} else {
				x.Misses = append(x.Misses, r.ID)
			}
		}
		height := fmt.Sprintf("%.3g m", x.Ceiling)
		if !x.Stated {
			height += ", assumed"
		}
		changes := fmt.Sprintf("%.1f", x.AirChanges)
		if low := d.Claim.Claimed.Low; low < x.Area && low > 0 {
			changes = fmt.Sprintf("%.1f down to %.1f", measure.AirChanges(x.RateM3h, low*x.Ceiling), x.AirChanges)
		}
		x.Text = fmt.Sprintf("%s at %s is %s air changes an hour (ceiling %s)", d.Claim.Claimed.Text, rate.Claim.Claimed.Text, changes, height)
		if a := d.Claim.Basis.AirChanges; a > 0 {
			x.Text += fmt.Sprintf("; the listing says %.3g", a)
		}
		out = append(out, x)
	}
	return out
}

// areas sets each stated rate of the highest setting under each published rule.
func areas(e Extract) []Area {
	var out []Area
	var seen []float64
	for _, d := range rates(e) {
		v := d.Claim.Claimed.High
		if slices.Contains(seen, v) {
			continue
		}
		seen = append(seen, v)
		for _, r := range measure.AreaRules() {
			if !fits(r, d.Claim.Particle) {
				continue
			}
			out = append(out, Area{Rate: d.Claim.ID, RateM3h: v, Rule: r.ID, SameAs: r.SameAs, Name: r.Name, Area: areaBy(r, v, ceilingOf(e)), Source: r.Source, Mark: r.Mark})
		}
	}
	return out
}

// times sets each stated clean time against the largest stated rate: how many room volumes that is, and what part of
// the particles so many volumes remove, 1 − exp(−n).
func times(e Extract) []Time {
	rs := rates(e)
	if len(rs) == 0 {
		return nil
	}
	rate := rs[0]
	var out []Time
	for _, d := range e.Claims {
		b := d.Claim.Basis
		v := b.RoomVolume
		if v == 0 && b.RoomArea > 0 {
			h := b.Ceiling
			if h == 0 {
				h = usualCeiling
			}
			v = b.RoomArea * h
		}
		if d.Claim.Attribute != claims.CleanTime || d.Claim.Claimed == nil || v <= 0 {
			continue
		}
		hours, err := unit.Convert(d.Claim.Claimed.High, "min", "h")
		if err != nil {
			continue
		}
		x := Time{Claim: d.Claim.ID, Rate: rate.Claim.ID, Minutes: d.Claim.Claimed.High, Volume: v}
		x.Changes = measure.AirChanges(rate.Claim.Claimed.High, v) * hours
		x.Removed = measure.Removal(x.Changes)
		x.Text = fmt.Sprintf("%s at %s give %.3g m3 of clean air, %.2f times that of a room of %.4g m3, which removes %.0f %% of the particles at best (perfect mixing, nothing new)",
			d.Claim.Claimed.Text, rate.Claim.Claimed.Text, x.Changes*v, x.Changes, v, math.Floor(100*x.Removed))
		out = append(out, x)
	}
	return out
}
