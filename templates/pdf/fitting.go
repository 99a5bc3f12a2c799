package pdf

import (
	"math"
	"sort"

	"weighhouse/templates/document"
	"weighhouse/templates/words"
)

// setting is how the first page is set: ems of the table and of the lists, how many findings are shown, and whether the
// questions run on in one paragraph.
type setting struct {
	table, list float64
	findings    int
	runOn       bool
}

// settings are tried in this order until the answer fits on one page with a question for each contradicted claim, and a
// few questions at the least; in the last it need have none.
var settings = []setting{{7.8, 8, 3, false}, {7.4, 7.6, 3, false}, {7, 7.3, 3, false}, {7, 7, 3, false}, {7, 7, 2, false}, {7, 7, 2, true}, {7, 7, 1, true}}

// The first page shows as many questions as it has room for, from fewQuestions to manyQuestions.
const (
	fewQuestions  = 2
	manyQuestions = 8
)

// fitting is the first setting in which the answer fits on one page, and how many questions it has room for; not ok where
// there is none. The parts are measured once each, since a page is tried in several settings.
func (r *report) fitting() (s setting, questions int, ok bool) {
	alone := func(fill func(*report)) (pages int, used float64) {
		return r.Try(func(d *document.Doc) { fill(&report{Doc: d, a: r.a}) })
	}
	all := words.Questions(r.a)
	least := min(fewQuestions, len(all))
	few := max(least, min(words.Needed(r.a, all), manyQuestions)) // each contradicted claim has one, where they fit
	tables := map[float64]float64{}                               // height of all that does not hang on the lists, by the table's em
	const between, near = 8, 2                                    // what stands between parts is not counted by themselves
	for i := r.likely(); i < len(settings); i++ {
		s := settings[i]
		if tables[s.table] == 0 {
			pages, h := alone(func(r *report) { r.opening(); r.claimsTable(s.table); r.beforeUse() })
			if pages > 1 {
				h = math.Inf(1)
			}
			tables[s.table] = h
		}
		used := tables[s.table]
		if used > r.Height() {
			continue
		}
		_, top := alone(func(r *report) { r.topFindings(s) })
		used += top
		asks := func(n int) float64 {
			_, h := alone(func(r *report) { r.questions(s, n) })
			return h
		}
		room := func(n int) float64 { return r.Height() - used - asks(n) - between }
		n := manyQuestions - sort.Search(manyQuestions-least+1, func(left int) bool { // each more takes more room
			return room(manyQuestions-left) >= 0
		})
		last := i == len(settings)-1
		for _, try := range []int{max(n, few), n, 0, -1} {
			if try < few && !last || try > 0 && try < least {
				continue
			}
			left := room(try)
			if left > near {
				return s, try, true
			}
			if left < -near {
				continue
			}
			if pages, _ := alone(func(r *report) { r.answerIn(s, try) }); pages == 1 { // the sum of the parts is too close to tell
				return s, try, true
			}
		}
	}
	return s, 0, false
}

// likely is the first setting that has a chance, so that not all must be tried: a claim takes about two lines.
func (r *report) likely() int {
	const others = 270 // points: what stands above and below the table
	for i, s := range settings {
		if float64(len(r.a.Rows))*3.4*s.table <= r.Height()-others {
			return i
		}
	}
	return 2
}
