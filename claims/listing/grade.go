package listing

import (
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"weighhouse/claims"
)

// gradePattern matches a filter grade in folded text: HEPA, ULPA or EPA with what stands before and after, a class
// code, a MERV, ISO or ePM class, a respirator class. It is built from the words of the table.
var gradePattern = sync.OnceValue(func() *regexp.Regexp {
	words := func(kind string) string {
		var all []string
		for _, s := range vocabulary().byKind[kind] {
			all = append(all, strings.ReplaceAll(regexp.QuoteMeta(s.text), " ", "[ -]"))
		}
		return strings.Join(all, "|")
	}
	before, after := words("grade before"), words("grade after")
	const (
		code   = `(?:[heu][1-9][0-9](?:\.5)?)`
		filter = `(?:[ -]*(?:luft)?(?:filterelement|filter|filtre|filtro|element|cartridge|滤网|フィルター)s?){0,2}`
		class  = `(?:[ ,]*(?:of |der |de )?(?:class|klasse|filterklasse|classe|clase|grade)?[ -]*\(?(?:(?:en|iso) ?\d{4,5}(?:-\d)?(?::\d{4})?[ :]*)?`
	)
	return regexp.MustCompile(`(?:(?:` + before + `|` + code + `)[ -]*)*(?:hepa|ulpa)(?:[ -]?1[0-9])?(?:[ -]*(?:` + after + `))?` + filter + class + code + `\)?)?` +
		`|epa(?:[ -]*filter)?` + class + code + `\)?)|epa[ -]*filter` +
		`|` + code +
		`|merv[ -]?\d{1,2}` +
		`|iso ?(?:29463(?:-\d)?(?::\d{4})?[ ,:-]*(?:class |grade |klasse )?)?\d{2} ?[ehu]` +
		`|(?:iso )?epm ?(?:10|1|2[.,]5)(?: ?\(?\d{2} ?%\)?)?` +
		`|(?:k?n9[59]|[nrp]100|ffp[123])` +
		`|(?:filter|klasse|class|filterklasse|classe) ?[gmf][1-9]|[gmf][1-9][ -](?:pre-?|vor)?filter`)
})

// namesGrade is a quick look whether folded text can name a filter grade: one of its words, or a letter before a digit.
func namesGrade(low string) bool {
	for _, w := range []string{"epa", "ulpa", "merv", "iso", "epm", "ffp"} {
		if strings.Contains(low, w) {
			return true
		}
	}
	for i := 1; i < len(low); i++ {
		if isDigit(low[i]) && (strings.IndexByte("heugmfnrp", low[i-1]) >= 0 || i > 1 && low[i-1] == ' ' && strings.IndexByte("heugmfs", low[i-2]) >= 0) {
			return true
		}
	}
	return false
}

// gradesOf reads the filter grades of one sentence; each is a claim of words alone.
func (r *reader) gradesOf(s *sentence) {
	low := s.folded.text
	if !namesGrade(low) {
		return
	}
	if len(s.hits["label"]) > 0 && s.hits["label"][0].start == 0 && s.label > 0 {
		return // "Model: H13 …"
	}
	for _, m := range gradePattern().FindAllStringIndex(low, -1) {
		a, b := m[0], m[1]
		for b > a && strings.ContainsRune(" -,(", rune(low[b-1])) {
			b--
		}
		a += len(low[a:b]) - len(strings.TrimLeft(low[a:b], " -"))
		if !s.isGrade(a, b) || len(r.e.Claims) >= MaxClaims {
			continue
		}
		if r.sameFilter(s, a, b) {
			continue
		}
		d := Said{Start: s.folded.back[a], End: s.folded.back[b]}
		d.Claim.Attribute, d.Claim.Bound = claims.FilterGrade, claims.AtLeast
		if loc := standardName().FindStringIndex(s.text); loc != nil {
			d.addBasis(s.text[loc[0]:loc[1]])
			if loc[0]-d.End < 40 && d.Start-loc[1] < 40 {
				d.include(&hit{start: loc[0], end: loc[1]})
			}
		}
		d.figures = []extent{{s.start + s.folded.back[a], s.start + s.folded.back[b]}}
		r.finish(s, &d)
		d.Value = gradeKey(low[a:b]) // for the comparison of grades; cleared there
		r.e.Claims = append(r.e.Claims, d)
	}
}

// maxPart is how far, in bytes, the class of a filter may stand behind the word for it, with a part number between.
const maxPart = 30

// sameFilter adds a class code at low[a:b] to the bare "HEPA" of the same phrase: "HEPA-Filterelement LK-F4 der Klasse H13".
func (r *reader) sameFilter(s *sentence, a, b int) bool {
	n := len(r.e.Claims)
	if n == 0 {
		return false
	}
	d := &r.e.Claims[n-1]
	start := s.start + s.folded.back[a]
	if d.Claim.Attribute != claims.FilterGrade || d.Value != "hepa" || d.figures[0].start < s.start || d.figures[0].end > start || start-d.figures[0].end > maxPart ||
		strings.ContainsAny(r.t.offer[d.figures[0].end:start], ".,;:()") {
		return false
	}
	d.Start, d.End = d.figures[0].start-s.start, s.folded.back[b]
	d.figures[0].end = s.start + s.folded.back[b]
	if loc := standardName().FindStringIndex(s.text); loc != nil && loc[0]-d.End < 40 && d.Start-loc[1] < 40 {
		d.include(&hit{start: loc[0], end: loc[1]})
	}
	r.finish(s, d)
	d.Value = gradeKey(s.folded.text[a:b])
	return true
}

var deniedAfter = lazily(`(?i)^[^\S\n]*:[^\S\n]*(?:no|none|nein|non|aucun|ninguno|nessuno)\b`)

// isGrade applies the guards: no part of a longer code or word, a filter meant, not denied, nobody else's.
func (s *sentence) isGrade(a, b int) bool {
	low := s.folded.text
	if a > 0 {
		p := lastRune(low[:a])
		if wordLike(p) {
			return false
		}
		if p == '-' || p == '/' || p == '.' {
			if q, _ := utf8.DecodeLastRuneInString(low[:a-1]); wordLike(q) && p != '/' {
				return false
			}
		}
	}
	if b < len(low) {
		n := firstRune(low[b:])
		if wordLike(n) && !strings.HasPrefix(low[b:], "filter") {
			return false
		}
		if rest := low[b:]; n == '-' && len(rest) > 1 && isDigit(rest[1]) {
			return false
		}
	}
	text := low[a:b]
	oa, ob := s.folded.back[a], s.folded.back[b]
	if !strings.Contains(text, "hepa") && !strings.Contains(text, "ulpa") && !strings.Contains(text, "filter") && !strings.HasPrefix(text, "merv") &&
		!strings.HasPrefix(text, "iso") && !strings.HasPrefix(text, "epa") && !strings.Contains(text, "epm") {
		near := slices.ContainsFunc(s.hits["grade context"], func(h hit) bool { return h.end <= oa && oa-h.end <= 40 || h.start >= ob && h.start-ob <= 40 })
		if !near && !(s.above != nil && len(s.above.hits["grade context"]) > 0) {
			return false
		}
	}
	if deniedAfter().MatchString(s.text[ob:]) {
		return false // "HEPA: no"
	}
	for _, h := range s.hits["negation"] {
		if h.end <= oa && oa-h.end <= 25 && !strings.ContainsAny(s.text[h.end:oa], ",;.") && len(strings.Fields(s.text[h.end:oa])) <= 3 {
			return false
		}
	}
	return !slices.ContainsFunc(s.hits["skip"], func(h hit) bool { return h.row.Value == "comparison" && h.start <= oa })
}

var gradeNoise = lazily(`filters?|filtre|filtro|luftfilter|class|klasse|classe|clase|\b(?:of|der|de)\b|en ?1822(?:-1)?(?::\d{4})?|iso ?29463[\d:-]*`)

// gradeKey is what a grade says, without the words that change nothing.
func gradeKey(text string) string {
	text = gradeNoise().ReplaceAllString(text, " ")
	f := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" -(),:", r) })
	if len(f) == 0 {
		return strings.TrimSpace(text)
	}
	return strings.Join(f, " ")
}

// sameGrade reports whether key b says nothing that key a does not.
func sameGrade(a, b string) bool {
	have := strings.Fields(a)
	for _, w := range strings.Fields(b) {
		if !slices.Contains(have, w) {
			return false
		}
	}
	return true
}
