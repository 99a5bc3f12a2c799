package sheet

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"runtime"
	"strings"
	"sync"
)

// LogRequest asks for one column of readings of one log.
type LogRequest struct {
	Path     string // a file in the case, or the name of a sheet or CSV file of the lab book
	Time     string // the time column, or several that are joined: "date + time"; with its unit or form in brackets where the header has none: "time [s]"; blank: the one that can be it
	Value    string // the value column by name or place, and rows of a long table: "watts where plug = cleaner"
	Place    Place  // of the row that asks
	Thin     bool   // of a log of more than MaxKept readings keep medians
	SkipText bool   // leave out rows of text in the middle and count them; otherwise they are problems
}

// logTask is one file or sheet with all that is asked of it.
type logTask struct {
	name  string // for people: the file's path, or "lab.xlsx: sheet NAME"
	file  string // path in the case; "" for a sheet of a workbook
	sheet sheetEntry
	wb    *workbook
	place Place
	asks  []*ask
	guess bool // columns that are not named are guessed
	bare  bool // it belongs to no case
	ps    Problems
}

// ask is one time and one value column of a log, asked for by one request or several.
type ask struct {
	time, value string
	want        wish // of value
	skip        bool
	place       Place // of the first request
	clock       *clock
	col         int
	where       []whereColumn
	header      Column
	rule        numberRule
	series      *Series
	rows        int      // that are chosen
	bad         int      // rows of text
	named       []badRow // the first of them
	late        []badRow // rows without a time since the last reading
	heads       int      // rows without a time before the first reading
	blind       int      // rows before the kind of time is known whose time cannot be read
	thin        *thinned // nil: every reading is kept
	reserved    int      // readings taken from what may be kept
	failed      bool
	cellUnit    string // the unit that stands behind the numbers

	keys  []*keyColumn // columns that may tell series apart
	steps [3]int       // rows whose time is later than that of the row before, the same, earlier
	lastT float64
	lastX float64
	hasX  bool

	tally     commaTally
	points    int    // readings with a point and no comma
	neighbour string // a number with a decimal point in another column
	commaNote string
	unclear   string // a number whose point can be the decimal sign or separate thousands
	groups    bool   // the cell says that points separate thousands
	commaSaid bool   // the cell says what the comma is
}

// Logs reads logs: one Series a request, in the order of the requests, nil where it failed. Each file is read once for
// all its requests, hashed in the same pass, and counted among the inputs; up to two files are read at a time.
//
// Memory: 16 bytes a reading kept, of each distinct pair of columns (of a log that may be thinned at most MaxKept of them),
// and about 2 MB a file while it is read; what is
// kept of all logs together is limited by MaxReadings.
func (f *Folder) Logs(lab *Book, reqs []LogRequest) ([]*Series, Problems) {
	var ps Problems
	tasks, of := f.plan(lab, reqs, &ps)
	var left counter
	left.n = MaxReadings
	slots := make(chan struct{}, min(2, runtime.GOMAXPROCS(0)))
	var wg sync.WaitGroup
	for _, t := range tasks {
		wg.Add(1)
		slots <- struct{}{}
		go func() {
			defer func() { <-slots; wg.Done() }()
			f.run(t, &left)
		}()
	}
	wg.Wait()
	for _, t := range tasks {
		ps = append(ps, t.ps...)
	}
	out := make([]*Series, len(reqs))
	for i, a := range of {
		if a != nil && !a.failed {
			out[i] = a.series
		}
	}
	return out, ps
}

// plan sorts the requests by file and by pair of columns. of gives the ask of each request, nil where there is none.
func (f *Folder) plan(lab *Book, reqs []LogRequest, ps *Problems) (tasks []*logTask, of []*ask) {
	byName := map[string]*logTask{}
	of = make([]*ask, len(reqs))
	for i, r := range reqs {
		t, err := f.locate(lab, r.Path)
		if err != nil {
			ps.Add(r.Place, "", "log: %v", err)
			continue
		}
		if clean(r.Value) == "" {
			ps.Add(r.Place, "", "log %s: no value column is named, accepted is the name of one column of the log", quote(r.Path))
			continue
		}
		if old := byName[t.name]; old != nil {
			t = old
		} else {
			byName[t.name] = t
			tasks = append(tasks, t)
		}
		r.Time = clean(r.Time)
		for _, a := range t.asks {
			if FoldName(a.time) == FoldName(r.Time) && FoldName(a.value) == FoldName(r.Value) && a.skip == r.SkipText && (a.thin != nil) == r.Thin {
				of[i] = a
			}
		}
		if of[i] == nil {
			of[i] = &ask{time: r.Time, value: clean(r.Value), want: newWish(r.Value, true), skip: r.SkipText, place: r.Place}
			if r.Thin {
				of[i].thin = &thinned{}
			}
			t.asks = append(t.asks, of[i])
		}
	}
	return tasks, of
}

// locate finds what a request means by its path: a file of the case, or a sheet or CSV file of the lab book.
func (f *Folder) locate(lab *Book, name string) (*logTask, error) {
	p, err := casePath(name)
	if err != nil {
		return nil, err
	}
	isFile := f.Exists(p)
	var src source
	isSheet := false
	folded := FoldName(name)
	if lab != nil {
		if src, isSheet = lab.sheets[folded]; !isSheet {
			if rest, ok := strings.CutSuffix(strings.ToLower(clean(name)), ".csv"); ok && lab.wb == nil {
				folded = FoldName(rest)
				src, isSheet = lab.sheets[folded]
			}
		}
		if isSheet && src.path == "" {
			return nil, fmt.Errorf("the sheet %s holds no cells", quote(src.name))
		}
	}
	switch {
	case isFile && isSheet && (lab.wb != nil || src.path != p):
		return nil, fmt.Errorf("found both a file and a sheet of the lab book named %s, accepted is a name that stands for one log", quote(name))
	case isSheet && lab.wb != nil:
		lab.markUsed(folded)
		t := &logTask{name: src.place.String(), wb: lab.wb, place: src.place}
		for _, s := range lab.wb.sheets {
			if s.part == src.path {
				t.sheet = s
			}
		}
		return t, nil
	case isSheet:
		lab.markUsed(folded)
		p = src.path
	case isFile:
		if lab != nil && lab.wb == nil && path.Dir(p) == lab.name {
			lab.markUsed(FoldName(strings.TrimSuffix(path.Base(p), path.Ext(p))))
		}
	default:
		if _, err := f.root.Stat(p); err == nil || !errors.Is(err, fs.ErrNotExist) { // say what is wrong with it
			in, err := f.open(p, MaxLogFile)
			if err != nil {
				return nil, err
			}
			in.Close()
		}
		what := "a file of the case folder"
		if lab != nil {
			what += " or " + map[bool]string{true: "a sheet of " + lab.name, false: "a CSV file of the folder " + lab.name}[lab.wb != nil]
		}
		return nil, fmt.Errorf("found %s, which is not there, accepted is %s", quote(name), what)
	}
	switch ext := strings.ToLower(path.Ext(p)); ext {
	case ".xlsx", ".xls", ".xlsm", ".ods", ".zip", ".gz", ".pdf":
		return nil, fmt.Errorf("found the %s file %s, accepted is a CSV file or the name of a sheet of the lab workbook", ext, quote(name))
	}
	return &logTask{name: p, file: p, place: Place{Book: p}}, nil
}

// run reads one log for all that is asked of it.
func (f *Folder) run(t *logTask, left *counter) {
	defer func() {
		if r := recover(); r != nil { // a stranger's file must not end the program
			t.ps.Add(t.place, "", "the log cannot be read: %v", r)
			for _, a := range t.asks {
				a.failed = true
			}
		}
	}()
	s := &logScan{task: t, left: left}
	if t.file != "" {
		f.scanCSV(s)
	} else {
		f.scanSheet(s)
	}
	s.finish()
}

// counter is what may still be kept of all logs together.
type counter struct {
	mu sync.Mutex
	n  int
}

func (c *counter) take(n int) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.n < n {
		return false
	}
	c.n -= n
	return true
}
