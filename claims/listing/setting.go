package listing

import (
	"slices"
	"strings"
	"unicode"

	"weighhouse/measure/setting"
)

// settingHit is a fan setting named in a sentence.
type settingHit struct {
	start, end int
	key        string // in the table of settings; "" for a numbered one
	lang       string
}

// ofColumn matches the start of a row under a head for settings: "Setting Normal, Power input: 17 W".
var ofColumn = lazily(`^(\pL[\pL ]{2,14}) (\pL[\pL ]{1,20}), `)

// settings lists the fan settings that the sentence names: phrases, numbered speeds, and bare words such as "sleep"
// where they stand as a label, in brackets, in a list, or beside "on" or "mode".
func (s *sentence) settings() []settingHit {
	var out []settingHit
	for _, h := range s.hits["setting"] {
		out = append(out, settingHit{h.start, h.end, h.row.Value, h.row.Lang})
	}
	for _, h := range s.hits["ordinal"] {
		rest := s.text[h.end:]
		t := strings.TrimLeft(rest, " \u00a0")
		if t == "" || !isDigit(t[0]) || len(t) > 1 && isDigit(t[1]) || len(t) > 2 && (t[1] == '.' || t[1] == ',') && isDigit(t[2]) {
			continue
		}
		end := h.end + len(rest) - len(t) + 1
		if !slices.ContainsFunc(s.qs, func(q quantity) bool { return q.start < end && end <= q.end }) {
			out = append(out, settingHit{h.start, end, "", h.row.Lang})
		}
	}
	if m := ofColumn().FindStringSubmatchIndex(s.text); m != nil {
		for _, h := range s.hits["ordinal"] {
			if h.start == 0 && h.end == m[3] && !slices.ContainsFunc(out, func(o settingHit) bool { return o.start < m[5] && m[4] < o.end }) {
				key := ""
				for _, b := range s.hits["bare"] {
					if b.start == m[4] && b.end == m[5] {
						key = b.row.Value
					}
				}
				out = append(out, settingHit{m[4], m[5], key, h.row.Lang})
			}
		}
	}
	for _, name := range s.named { // "2,500 hours on Normal"
		for _, w := range []string{" on ", " at ", " in ", " auf ", " bei "} {
			if i := strings.Index(s.text, w+name); i >= 0 {
				a, b := i+len(w), i+len(w)+len(name)
				if !wordLike(firstRune(s.text[b:])) && !slices.ContainsFunc(out, func(o settingHit) bool { return o.start < b && a < o.end }) {
					out = append(out, settingHit{a, b, "", s.lang})
				}
			}
		}
	}
	for _, h := range s.hits["bare"] {
		inside := slices.ContainsFunc(s.qs, func(q quantity) bool { return q.start < h.end && h.start < q.last() })
		if !inside && s.standsAsSetting(h) && !slices.ContainsFunc(out, func(o settingHit) bool { return o.start < h.end && h.start < o.end }) {
			out = append(out, settingHit{h.start, h.end, h.row.Value, h.row.Lang})
		}
	}
	slices.SortFunc(out, func(a, b settingHit) int { return a.start - b.start })
	return out
}

// numberedSteps reads "speeds 1/2/3": the names of n numbered settings in a row; nil where the sentence has none.
func (s *sentence) numberedSteps(n int) (names []string, at *hit) {
	for _, h := range s.hits["ordinal"] {
		word := h.row.Value
		if word == "" {
			word = s.text[h.start:h.end]
		}
		end := h.end + len(s.text[h.end:]) - len(strings.TrimLeft(s.text[h.end:], " \u00a0"))
		for names = nil; end < len(s.text) && isDigit(s.text[end]); {
			m, ok := scanNumber(s.text, end, s.decimalComma)
			if !ok || slices.ContainsFunc(s.qs, func(q quantity) bool { return q.start < m.end && m.start < q.end }) {
				break // "sound level 18 / 31 dB"
			}
			names, end = append(names, word+" "+plain(m.value)), m.end
			next, ok := listSep(s.text, end)
			if !ok {
				break
			}
			end = next
		}
		if len(names) == n {
			return names, &hit{start: h.start, end: end}
		}
	}
	return nil, nil
}

// listed reads "(Stufe 1 / 2 / 3 / Turbo)" or "low, medium, high": the names of n settings that stand in a row and nothing else
// with them; nil where the sentence has none.
func (s *sentence) listed(n int) (names []string, at *hit) {
	for _, m := range rowOfNames().FindAllStringIndex(s.text, 12) {
		lo, hi := m[0], m[1]
		items := itemEnd().Split(s.text[lo:hi], -1)
		if len(items) < n {
			continue
		}
		items = items[len(items)-n:] // "Noise level, min. / max."
		ordinal := ""
		names = nil
		for _, item := range items {
			name := s.nameOf(strings.TrimSpace(item), &ordinal)
			if name == "" {
				break
			}
			names = append(names, name)
		}
		if len(names) == n {
			return names, &hit{start: lo, end: hi}
		}
	}
	return nil, nil
}

// rowOfNames matches names with the marks between them that part a row; itemEnd matches such a mark.
var (
	rowOfNames = lazily(`[\pL\d][\pL\d .-]{0,24}(?: ?(?:[/|、,·]|–|-(?: )) ?[\pL\d][\pL\d .-]{0,24})+`)
	itemEnd    = lazily(` ?(?:[/|、,·]|–|-(?: )) ?`)
)

// nameOf is the name of a setting that is all of item; a number alone is one of the ordinal that an item before it named.
func (s *sentence) nameOf(item string, ordinal *string) string {
	item = strings.TrimRight(item, ".")
	f := foldText(item)
	for _, kind := range []string{"setting", "bare"} {
		for _, h := range vocabulary().find(f, kind) {
			if h.start == 0 && h.end == len(item) {
				return h.row.Value
			}
		}
	}
	for _, h := range vocabulary().find(f, "ordinal") {
		rest := strings.TrimSpace(item[h.end:])
		if h.start == 0 && len(rest) == 1 && isDigit(rest[0]) {
			if *ordinal = h.row.Value; *ordinal == "" {
				*ordinal = item[:h.end]
			}
			return *ordinal + " " + rest
		}
	}
	if *ordinal != "" && len(item) == 1 && isDigit(item[0]) {
		return *ordinal + " " + item
	}
	return ""
}

func (s *sentence) standsAsSetting(h hit) bool {
	before := strings.TrimLeft(strings.TrimRightFunc(s.text[:h.start], unicode.IsSpace), "-•*· ")
	after := strings.TrimLeftFunc(s.text[h.end:], unicode.IsSpace)
	prev, next := lastRune(before), firstRune(after)
	pw, nw := strings.ToLower(lastWord(before)), strings.ToLower(firstWord(after))
	openLeft := before == "" || strings.ContainsRune("(/,;:|–—-•[=、，【「『・", prev) || isDigit(s.text[h.start-1])
	openRight := after == "" || strings.ContainsRune(")/,;:|–—=]<≤~、，】」』・", next) || unicode.IsDigit(next) || bounded().MatchString(after)
	low := strings.ToLower(s.text[h.start:h.end])
	praise := low == "quiet" || low == "silent" || low == "whisper"
	for _, q := range s.qs {
		if praise {
			break // "22 dB quiet" names no setting
		}
		openLeft = openLeft || q.last() == len(before)
		openRight = openRight || q.start == len(s.text)-len(after)
	}
	extreme := low == "max" || low == "maximum" || low == "min" || low == "minimum" || low == "lowest" || h.row.Class == setting.Highest && h.row.Lang != "en"
	if (h.row.Lang == "ja" || h.row.Lang == "zh") && h.row.Value != "max" && h.row.Value != "lowest" && h.start > 0 && unicode.IsSpace(lastRune(s.text[:h.start])) && unicode.IsDigit(next) {
		return true // "急速 58dB　強 45dB"
	}
	if extreme && (unicode.IsDigit(next) || slices.ContainsFunc(s.qs, func(q quantity) bool { return q.last() == len(before) })) {
		return false // "max 52 dB", "48 W max": a bound
	}
	if praise && (before == "" || prev == '-' && h.start > 0 && s.text[h.start-1] == '-') {
		return false // "Quiet: from 23 dB", "Whisper-quiet: as low as 24 dB"
	}
	if openLeft && openRight || before == "" && (low == "turbo" || low == "boost") {
		return true // "Turbo delivers 340 m³/h"
	}
	if low != "standard" && !praise && s.label > 0 && h.end <= s.label && strings.HasPrefix(after, ":") && len(s.hits["topic"]) > 0 && s.hits["topic"][0].end <= h.start {
		return true // "Sound low: 24 dB(A)"
	}
	if (low == "highest" || low == "lowest") && openRight && atThe().MatchString(tail(before, 30)) {
		return true // "50 dB(A) at the highest"
	}
	switch pw {
	case "on", "at", "in", "auf", "bei", "en", "im", "setting", "mode", "modus", "speed", "stufe", "level", "vitesse":
		return true
	}
	switch nw {
	case "mode", "setting", "speed", "level", "step", "modus", "stufe":
		return true
	}
	return false
}

// bounded matches what may hang on a setting before its figure: "High-<= 57dB".
var bounded = lazily(`^-? ?(?:<|≤|=)`)

var atThe = lazily(`(?i)\b(?:on|at|in) (?:the|its)$`)

func firstWord(s string) string {
	if i := strings.IndexFunc(s, func(r rune) bool { return !unicode.IsLetter(r) }); i >= 0 {
		return s[:i]
	}
	return s
}

// settingOf is the setting that quantity i is stated for: the one beside it, else one in the label of the line.
func (s *sentence) settingOf(i int, all []settingHit) *settingHit {
	var best *settingHit
	for k := range all {
		h := &all[k]
		if s.label > 0 && h.end <= s.label || s.settingOwner(h.start, h.end) != i {
			continue
		}
		switch {
		case h.start >= s.qs[i].last():
			if best == nil {
				return h
			}
		case h.end <= s.qs[i].start && i > 0 && h.start >= s.qs[i-1].last() && strings.Contains(s.text[h.end:s.qs[i].start], ";"):
			// "22 dB: at the lowest fan speed; 52 dB max": it is that of the figure before
		case h.end <= s.qs[i].start && (best == nil || strings.Contains(s.text[best.end:h.start], ";")):
			best = h // "at max speed; on low speed the rate is 45 m³/h"
		}
	}
	if best != nil {
		return best
	}
	for k := range all {
		if s.label > 0 && all[k].end <= s.label {
			return &all[k]
		}
	}
	if len(all) == 1 && all[0].end <= s.qs[0].start && s.leadsIn(all[0].start) {
		return &all[0] // "Turbo – 340 m³/h, 52 dB, 45 W"; "On its fastest speed it draws 22 W and makes 47 dB(A)"
	}
	for k := range all { // "265 m³/h for pollen and 240 m³/h for smoke, both at the highest speed"
		if h := &all[k]; h.start >= s.qs[i].last() && shared().MatchString(tail(s.text[:h.start], 60)) && !strings.Contains(s.text[s.qs[i].last():h.start], ";") {
			return h
		}
	}
	return nil
}

// shared matches the words before a setting that holds for all the figures before it.
var shared = lazily(`(?i)\b(?:both|each|all(?: three| four| of (?:it|them|these))?|beide|jeweils|alle|tous(?: deux)?|toutes|ambos|ambas|entrambi)(?: (?:measured|taken|read|stated|gemessen|mesurés|medidos))?(?: (?:at|on|in|auf|bei|en|à|a|su))?(?: (?:the|its|der|dem|la|le))? $`)

// settingOwner is owner among the quantities that a setting can be stated for: it is no condition such as hours a day that
// "annual energy at Medium, 24 hours a day: 122.6 kWh" is stated for.
func (s *sentence) settingOwner(start, end int) int {
	o := s.owner(start, end)
	if o < 0 || !s.qs[o].isCondition() {
		return o
	}
	for k := o - 1; k >= 0 && start >= s.qs[o].last(); k-- { // "12 months at 10 hours a day on speed 3"
		if !s.qs[k].isCondition() {
			return k
		}
	}
	for k := o + 1; k < len(s.qs) && !strings.Contains(s.text[min(end, s.qs[k].start):s.qs[k].start], ";"); k++ {
		if !s.qs[k].isCondition() {
			return k
		}
	}
	for k := o - 1; k >= 0; k-- {
		if !s.qs[k].isCondition() {
			return k
		}
	}
	return o
}

// leadsTo reports whether a preposition stands before a setting, or nothing: "at Turbo", "Boost serves 25 m²". An area needs
// that, for a title strings its words together.
func (s *sentence) leadsTo(h *settingHit) bool {
	if s.leadsIn(h.start) {
		return true
	}
	return slices.ContainsFunc(s.hits["preposition"], func(p hit) bool { return p.end <= h.start && strings.TrimSpace(s.text[p.end:h.start]) == "" }) ||
		s.label > 0 && h.end <= s.label
}

// leadsIn reports whether nothing but small words stands before end.
func (s *sentence) leadsIn(end int) bool {
	rest := []byte(s.text[:end])
	for _, kind := range []string{"filler", "preposition"} {
		for _, h := range s.hits[kind] {
			for k := h.start; k < min(h.end, end); k++ {
				rest[k] = ' '
			}
		}
	}
	return strings.Trim(string(rest), " \t\n-•*") == ""
}

// name is the setting as the claims table names it: by its key in the table of settings, a numbered one as written.
func (h *settingHit) name(s *sentence) string {
	if h.key != "" {
		return h.key
	}
	return strings.Join(strings.Fields(s.text[h.start:h.end]), " ")
}
