package verdict

import (
	_ "embed"
	"encoding/csv"
	"regexp"
	"strings"
	"sync"

	"weighhouse/claims"
	"weighhouse/claims/wording"
	"weighhouse/measure/setting"
)

//go:embed questions.csv
var questionsCSV string

// question is a row of questions.csv: what is asked where a claim leaves a part open. A text that ends with "?" is a
// sentence of its own; the others are joined in the frame of their attribute.
type question struct{ part, ask string }

var questions = sync.OnceValue(func() map[claims.Attribute][]question {
	rows, err := csv.NewReader(strings.NewReader(questionsCSV)).ReadAll()
	if err != nil {
		panic("questions.csv: " + err.Error())
	}
	out := map[claims.Attribute][]question{}
	for _, r := range rows[1:] {
		a := claims.Attribute(r[0])
		out[a] = append(out[a], question{r[1], r[2]})
	}
	return out
})

// stated is what a claim's columns and its words say of its conditions.
type stated struct {
	c     claims.Claim
	b, w  claims.Basis // of the basis column; the same read from the words
	words string       // wording and basis
}

// Words by which a claim states a condition. They decide only whether a question is asked.
var (
	saysVoltage = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)\b\d{2,3}(?:\s*(?:-|–|to)\s*\d{2,3})?\s*V(?:olts?|AC)?\b`)
	})
	saysKind = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)\b(?:rated|nominal|typical|average|mean|max(?:imum)?)\b`)
	})
	saysMode = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)wi-?fi|wireless|network|radio|bluetooth|\bapp\b|display|off[\s-]mode|switched off`)
	})
	saysScope = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)filter (?:element|medium|media)|\b(?:element|medium|MPPS)\b|(?:whole|complete|entire) (?:unit|appliance|device)|\bappliance as a whole\b`)
	})
	saysAir = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)\b(?:ug|µg|μg|mg)\s*/\s*m(?:3|³)|\b(?:cigarette|smok\w*|dust|pollut\w*|clean air of|city air|outdoor air)\b`)
	})
	saysEnd = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)\b(?:half|halved)\b|\d\s*(?:%|per cent|percent)\s+of (?:its|the|their)|pressure drop|\bCCM\b|timer`)
	})
	saysDry = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)\bdry\b|\bpure\b|\bnet\b|granul|pellet|without (?:the )?(?:fleece|frame|glue)|(?:carbon|charcoal) alone`)
	})
	saysReport = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)\b(?:test|laboratory|lab)?\s*report\b|\bcertificate\b`)
	})
)

// open says of each part of questions.csv whether a claim leaves it open.
var open = map[string]func(s *stated) bool{
	"setting":  func(s *stated) bool { return s.c.Setting == "" && len(setting.Mentioned(s.words)) == 0 },
	"particle": func(s *stated) bool { return s.c.Particle == "" },
	"distance": func(s *stated) bool { return s.b.Distance+s.w.Distance == 0 && !s.b.SoundPower && !s.w.SoundPower },
	"quantity": func(s *stated) bool {
		return !(s.b.SoundPower || s.b.SoundPressure || s.w.SoundPower || s.w.SoundPressure)
	},
	"weighting": func(s *stated) bool { return s.c.Claimed != nil && !s.c.Weighting },
	"voltage":   func(s *stated) bool { return !saysVoltage().MatchString(s.words) },
	"kind":      func(s *stated) bool { return !saysKind().MatchString(s.words) },
	"mode":      func(s *stated) bool { return !saysMode().MatchString(s.words) },
	"hours": func(s *stated) bool {
		return s.b.HoursPerDay+s.w.HoursPerDay == 0 && (s.c.Attribute != claims.FilterLife || s.c.Claimed == nil || s.c.Calendar)
	},
	"standby": func(s *stated) bool {
		return max(s.b.HoursPerDay, s.w.HoursPerDay) < 24 && s.b.StandbyHours+s.w.StandbyHours == 0
	},
	"class":    func(s *stated) bool { _, ok := wording.LookupGrade(s.c.Wording); return !ok },
	"standard": func(s *stated) bool { return s.b.Standard == "" && s.w.Standard == "" },
	"scope":    func(s *stated) bool { return !saysScope().MatchString(s.words) },
	"flow":     func(s *stated) bool { return s.b.Flow+s.w.Flow == 0 },
	"air":      func(s *stated) bool { return !saysAir().MatchString(s.words) },
	"end":      func(s *stated) bool { return !saysEnd().MatchString(s.words) },
	"rule": func(s *stated) bool {
		_, ruled := areaRule(s.b)
		return !ruled && s.b.AirChanges+s.w.AirChanges == 0
	},
	"ceiling":   func(s *stated) bool { return s.b.Ceiling+s.w.Ceiling == 0 },
	"volume":    func(s *stated) bool { return s.b.RoomVolume == 0 && !(s.b.RoomArea > 0 && s.b.Ceiling > 0) },
	"reduction": func(s *stated) bool { return !(s.b.Reduction > 0) && !(s.w.Reduction > 0) },
	"dry":       func(s *stated) bool { return !saysDry().MatchString(s.words) },
	"function":  func(s *stated) bool { return s.b.Ioniser == "" && s.w.Ioniser == "" },
}

// askOf is what to ask the maker of a claim: only of what its words, its setting, its particle and its stated conditions
// leave open, and for the report where none is named. Where nothing is open and the claim was judged, what may explain
// the difference.
func askOf(r *Row) string {
	c := r.Claim
	s := stated{c: c, b: c.Basis, w: claims.ParseBasis(c.Wording), words: c.Wording + "; " + c.Basis.Text}
	var clauses, out []string
	frame, report := "", ""
	asked := map[string]bool{}
	for _, q := range questions()[c.Attribute] {
		switch {
		case q.part == "frame":
			frame = q.ask
		case q.part == "report":
			report = q.ask
		case !open[q.part](&s):
		case strings.HasSuffix(q.ask, "?"):
			out = append(out, q.ask)
		default:
			asked[q.part] = true
			clauses = append(clauses, q.ask)
		}
	}
	if len(clauses) > 0 {
		joined := strings.Join(clauses, ", ")
		if n := len(clauses); n > 1 {
			joined = strings.Join(clauses[:n-1], ", ") + " and " + clauses[n-1]
		}
		out = append(out, strings.ToUpper(joined[:1])+joined[1:]+" "+frame+"?")
	}
	if !saysReport().MatchString(c.Wording + " " + c.Source + " " + c.Evidence) {
		any := map[string]string{}
		for _, q := range questions()["*"] {
			any[q.part] = q.ask
		}
		switch {
		case report != "":
		case asked["standard"] || !open["standard"](&s):
			report = any["report without standard"]
		default:
			report = any["report"]
		}
		out = append(out, report)
	}
	if len(out) == 0 && r.Probability != nil {
		for _, q := range questions()["*"] {
			if q.part == "nothing" {
				out = append(out, q.ask)
			}
		}
	}
	return strings.Join(out, " ")
}
