package quote

import (
	"fmt"
	"sort"
	"strings"

	"weighhouse/claims"
	"weighhouse/claims/listing"
	"weighhouse/measure/setting"
	"weighhouse/measure/unit"
)

// Check sets each claim of a spec against its words, and its words against its capture and the later captures of the same
// source. It fills Seen of every claim. read gives the bytes of a capture, or why it was not read.
func Check(s *claims.Spec, read func(path string) (data []byte, why string)) {
	open := opener(read)
	for i := range s.Claims {
		c := &s.Claims[i]
		c.Seen = &claims.Seen{}
		words(c)
		captured(c, open)
	}
	for i := range s.Claims {
		later(&s.Claims[i], s.Claims, open)
	}
}

// opener reads each capture once.
func opener(read func(path string) ([]byte, string)) func(path string) (*capture, string) {
	type known struct {
		c   *capture
		why string
	}
	done := map[string]known{}
	return func(path string) (*capture, string) {
		k, ok := done[path]
		if !ok {
			data, why := read(path)
			if why == "" {
				k.c, k.why = open(path, data)
			} else {
				k.why = why
			}
			done[path] = k
		}
		return k.c, k.why
	}
}

// words compares the row's number, setting and particle with its words.
func words(c *claims.Claim) {
	s := c.Seen
	if strings.TrimSpace(c.Wording) == "" {
		s.Number = claims.NotChecked
		s.Lacks = append(s.Lacks, "the row holds no words")
		return
	}
	if c.Claimed != nil {
		var why string
		s.Number, why = number(c)
		switch s.Number {
		case claims.Differs:
			s.Why = append(s.Why, why)
		case claims.NotChecked:
			s.Lacks = append(s.Lacks, why)
		}
	}
	for _, why := range []string{otherSetting(c), otherParticle(c)} {
		if why != "" {
			s.Number = claims.Differs
			s.Why = append(s.Why, why)
		}
	}
}

// otherSetting says that the words name settings of which none can be the row's. Names whose place among the settings is
// not known, such as "speed 3" beside "turbo", are never set against each other.
func otherSetting(c *claims.Claim) string {
	named := setting.Phrased(c.Wording)
	if len(named) == 0 || c.Attribute == claims.StandbyPower {
		return ""
	}
	for _, n := range named {
		if !apart(n, c.Setting) {
			return ""
		}
	}
	row := fmt.Sprintf("the row %q", c.Setting)
	if c.Setting == "" {
		row = "the row names none, which is read as the highest"
	}
	return fmt.Sprintf("the words name the setting %s, %s", strings.Join(named, ", "), row)
}

// apart reports whether a setting that words name cannot be the row's: one is the highest and the other below it, or both
// are numbered and differ.
func apart(named, row string) bool {
	if named == "max" {
		return setting.Below(row)
	}
	if setting.Asks(row) {
		return setting.Below(named)
	}
	if setting.Same(named, row) {
		return false
	}
	n, r := setting.Key(named), setting.Key(row)
	if isNumber(n) && isNumber(r) {
		return true
	}
	return setting.Below(named) && setting.Top(row) || setting.Top(named) && setting.Below(row)
}

func isNumber(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// beside is how far from the number, in bytes, a particle's name is taken to belong to it.
const beside = 30

// otherParticle says that the words put another particle beside the number than the row names.
func otherParticle(c *claims.Claim) string {
	if c.Particle == "" || c.Claimed == nil || c.Attribute == claims.FilterLife {
		return ""
	}
	info, _ := claims.Lookup(string(c.Attribute))
	text := plainForms(c.Wording)
	figures := listing.Figures(text)
	if size := claims.SizeUm(c.Particle); size > 0 {
		var sizes []string
		for _, f := range figures {
			if f.Unit.Dimension == unit.Length && f.Unit.Factor <= unit.Must("um").Factor {
				if near(f.Value*f.Unit.Factor*1e6, size, 1e-6) {
					return ""
				}
				sizes = append(sizes, text[f.Start:f.End])
			}
		}
		if len(sizes) > 0 && !strings.Contains(c.Particle, "-") {
			return fmt.Sprintf("the words name particles of %s, the row %s", strings.Join(sizes, ", "), c.Particle)
		}
		return ""
	}
	names, at := listing.ParticlesIn(text)
	var near []string
	for i, n := range names {
		if n == c.Particle {
			return ""
		}
		for _, f := range figures {
			if f.Unit.Dimension == info.Dimension && at[i][0]-f.End < beside && f.Start-at[i][1] < beside {
				near = append(near, n)
				break
			}
		}
	}
	if near == nil || strings.HasPrefix(c.Particle, "pm") != strings.HasPrefix(near[0], "pm") {
		return ""
	}
	return fmt.Sprintf("the words name %s, the row %s", near[0], c.Particle)
}

// captured looks for the words in their capture.
func captured(c *claims.Claim, open func(string) (*capture, string)) {
	s := c.Seen
	switch {
	case strings.TrimSpace(c.Wording) == "":
		s.Capture = claims.NotChecked
		return
	case c.Evidence == "":
		s.Capture = claims.NotChecked
		s.Lacks = append(s.Lacks, "the row names no capture")
		return
	}
	p, why := open(c.Evidence)
	if p == nil {
		s.Capture = claims.NotChecked
		s.Lacks = append(s.Lacks, why)
		return
	}
	at, found, code := p.find(c.Wording)
	if !found {
		s.Capture = claims.Differs
		why := "the words are not in their capture " + c.Evidence
		if near, at, ok := p.nearest(c.Wording); ok {
			why += fmt.Sprintf("; nearest to them, line %d: “%s”", at.Line, near)
		}
		s.Why = append(s.Why, why)
		return
	}
	s.Capture, s.At, s.InCode = claims.Stands, at, code
}

// later looks for a claim's words in the captures of the same source that are of a later day.
func later(c *claims.Claim, all []claims.Claim, open func(string) (*capture, string)) {
	if c.Captured == "" || c.Seen.Capture != claims.Stands {
		return
	}
	day := map[string]string{}
	var paths []string
	for _, o := range all {
		if o.Evidence != "" && o.Evidence != c.Evidence && o.Captured > c.Captured && claims.SourceKind(o.Source) == claims.SourceKind(c.Source) && day[o.Evidence] == "" {
			day[o.Evidence] = o.Captured
			paths = append(paths, o.Evidence)
		}
	}
	sort.SliceStable(paths, func(i, j int) bool { return day[paths[i]] < day[paths[j]] })
	for _, path := range paths {
		p, _ := open(path)
		if p == nil {
			continue
		}
		x := claims.Sighting{Captured: day[path], State: "gone", At: claims.Spot{Path: path}}
		if at, found, _ := p.find(c.Wording); found {
			x.State, x.At = "still there", at
		} else if o := follower(c, all, path); o != nil && o.Seen.Capture == claims.Stands {
			x.State, x.At, x.Text = "changed", o.Seen.At, o.Wording
		} else if text, at, ok := p.nearest(c.Wording); ok {
			x.State, x.At, x.Text = "changed", at, text
		}
		c.Seen.Later = append(c.Seen.Later, x)
	}
}

// follower is the claim of a later capture that stands in a claim's place: same attribute, setting, particle and filter.
func follower(c *claims.Claim, all []claims.Claim, path string) *claims.Claim {
	for i := range all {
		o := &all[i]
		if o.Evidence == path && o.Attribute == c.Attribute && setting.Same(o.Setting, c.Setting) && o.Particle == c.Particle && o.Basis.Element == c.Basis.Element && o.Wording != "" {
			return o
		}
	}
	return nil
}
