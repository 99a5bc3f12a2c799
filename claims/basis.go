package claims

import (
	"regexp"
	"strconv"
	"strings"

	"weighhouse/measure/unit"
)

var (
	hoursADay   = regexp.MustCompile(`(?i)(\d+(?:[.,]\d+)?)\s*(?:h|hrs?|hours?)\s*(?:/|per|a|each|every)\s*(?:d|day)\b`)
	hoursAlone  = regexp.MustCompile(`(?i)^\s*(\d+(?:[.,]\d+)?)\s*(?:h|hrs?|hours?)\s*(?:in\s+)?(standby|active|on|off|daily)?\s*$`)
	allDay      = regexp.MustCompile(`(?i)\b(?:24\s*/\s*7|all day|round the clock|continuous(?:ly)?)\b`)
	airChanges  = regexp.MustCompile(`(?i)(?:^|[\s(])(\d+(?:[.,]\d+)?)\s*(?:x\s*)?(?:ach\b|air\s*changes?|ac/h|/h\b|1/h\b|h-1\b|times?\s*(?:per|an|a|each)\s*hour)`)
	percentage  = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*(?:%|per\s?cent|percent)`)
	amount      = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*([^\d;,\s][^;,]*)`)
	ceilingWord = regexp.MustCompile(`(?i)ceiling|headroom|\bhigh\b|height`)
	soundPower  = regexp.MustCompile(`(?i)sound\s+power|\bL_?WA?d?\b|\bL\(?WA\)?\b`)
	soundPress  = regexp.MustCompile(`(?i)sound\s+pressure|\bL_?pA?(?:eq)?\b|\bSPL\b`)
	declaredL   = regexp.MustCompile(`\bL_?(?:WA?|p?A?)?_?d\b|(?i:iso\s*4871\s+(?:single|declared))`)
	declaredK   = regexp.MustCompile(`(?i)\bK(?:_?[WP]A?)?\s*[=:]?\s*(\d+(?:[.,]\d+)?)\s*dB`)
	ioniserOff  = regexp.MustCompile(`(?i)\b(?:ioni[sz](?:er|ation)|ion\s+function)\s*(?:is\s+|=\s*|switched\s+)?off\b|\bwithout\s+(?:the\s+)?ioni[sz](?:er|ation)\b`)
	ioniserOn   = regexp.MustCompile(`(?i)\b(?:ioni[sz](?:er|ation)|ion\s+function)\s*(?:is\s+|=\s*|switched\s+)?on\b|\bwith\s+(?:the\s+)?ioni[sz](?:er|ation)\b`)
	endOfLife   = regexp.MustCompile(`(?i)^(?:until|till|ends? (?:when|at)|to when)\b.*(?:\bhalf\b|\bhalved\b|\d{1,2}\s*%)`)
	ofHalf      = regexp.MustCompile(`(?i)half|halved|halb|hälfte|moitié|mitad|metà|(?:^|[^\d.,])50\s*%`)
	ofElement   = regexp.MustCompile(`(?i)^(?:(?:for|of)\s+)?(?:the\s+)?(?:(pre[- ]?filter)|(?:activated\s+)?(?:carbon|charcoal)\s+filter)$`)
	standard    = regexp.MustCompile(`\b(?:BS EN|DIN EN|EN ISO|EN|ISO/TS|ISO|IEC|ANSI/AHAM|ANSI/UL|ANSI|AHAM|GB/T|GB|JIS|JEM|ASHRAE|IEST|DIN|BS|KS|SPS|NF|UL|CFR|MIL-STD)[ -]?[A-Z]{0,4}-?\d[\w.\-/:]*`)
)

// ParseBasis reads a basis cell: stated conditions, split at ";". Numbers take either decimal sign. What is not
// understood stays in Other, so that a report can print it.
func ParseBasis(text string) Basis {
	b := Basis{Text: strings.TrimSpace(text)}
	for _, part := range strings.Split(text, ";") {
		part = strings.TrimSpace(part)
		if part == "" {
			continue
		}
		b.Parts = append(b.Parts, part)
		if !b.read(part) {
			b.Other = append(b.Other, part)
		}
	}
	return b
}

// read takes one part and reports whether anything in it was understood.
func (b *Basis) read(part string) bool {
	if endOfLife.MatchString(part) {
		b.EndOfLife, b.ToHalf = part, ofHalf.MatchString(part)
		return true
	}
	if m := ofElement.FindStringSubmatch(part); m != nil {
		b.Element = "carbon filter"
		if m[1] != "" {
			b.Element = "pre-filter"
		}
		return true
	}
	known := false
	rest := part
	take := func(re *regexp.Regexp, set func(m []string)) bool {
		m := re.FindStringSubmatch(rest)
		if m == nil {
			return false
		}
		set(m)
		rest = strings.Replace(rest, m[0], " ", 1)
		known = true
		return true
	}
	take(standard, func(m []string) {
		if b.Standard == "" {
			b.Standard = m[0]
		}
	})
	take(soundPower, func([]string) { b.SoundPower = true })
	take(soundPress, func([]string) { b.SoundPressure = true })
	if declaredL.MatchString(part) {
		b.Declared, known = "L_d", true
		b.SoundPower = b.SoundPower || strings.Contains(strings.ToUpper(part), "LW") || strings.Contains(strings.ToUpper(part), "L_W")
	}
	take(declaredK, func(m []string) { b.Declared, b.K = "L+K", number(m[1]) })
	standby := strings.Contains(strings.ToLower(part), "standby")
	for take(hoursADay, func(m []string) {
		b.hours(number(m[1]), standby && b.HoursPerDay > 0 || standby && !strings.Contains(part, "+"))
	}) {
	}
	take(hoursAlone, func(m []string) { b.hours(number(m[1]), standby || strings.EqualFold(m[2], "off")) })
	take(ioniserOff, func([]string) { b.Ioniser = "off" })
	take(ioniserOn, func([]string) { b.Ioniser = "on" })
	take(allDay, func([]string) { b.HoursPerDay = 24 })
	take(airChanges, func(m []string) { b.AirChanges = number(m[1]) })
	take(percentage, func(m []string) { b.Reduction = number(m[1]) / 100 })
	for _, m := range amount.FindAllStringSubmatch(rest, -1) {
		known = b.amount(number(m[1]), m[2], part) || known
	}
	return known
}

func (b *Basis) hours(h float64, standby bool) {
	if standby {
		b.StandbyHours = h
	} else {
		b.HoursPerDay = h
	}
}

// amount takes a number and the words after it, of which the longest beginning that is a unit counts.
func (b *Basis) amount(x float64, after, part string) bool {
	words := strings.Fields(after)
	for n := min(len(words), 4); n > 0; n-- {
		u, ok := unit.Lookup(strings.Trim(strings.Join(words[:n], " "), "(),."))
		if !ok {
			continue
		}
		v, err := unit.Convert(x, u.Name, unit.Base(u.Dimension).Name)
		if err != nil {
			return false
		}
		switch u.Dimension {
		case unit.Length:
			if ceilingWord.MatchString(part) {
				b.Ceiling = v
			} else {
				b.Distance = v
			}
		case unit.Area:
			b.RoomArea = v
		case unit.Volume:
			b.RoomVolume = v
		case unit.Flow:
			b.Flow = v
		case unit.Rate:
			b.AirChanges = v
		default:
			return false
		}
		return true
	}
	return false
}

func number(s string) float64 {
	x, err := strconv.ParseFloat(strings.ReplaceAll(s, ",", "."), 64)
	if err != nil {
		return 0
	}
	return x
}
