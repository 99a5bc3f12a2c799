package claims

// Standing says whether one thing stands in another: a number in words, words in a capture.
type Standing string

// The standings. The zero value is for what was not looked at.
const (
	Stands     Standing = "stands"
	Differs    Standing = "differs"
	NotChecked Standing = "not checked"
)

// Seen says how a claim's number, its words and its capture belong together.
type Seen struct {
	Number  Standing // value and unit in the words
	Capture Standing // the words in the capture
	Why     []string // what does not agree, a reason each
	Lacks   []string // why something was not checked
	At      Spot     // where the words stand in the capture
	InCode  bool     // they stand in the page's code, not in its visible text
	Later   []Sighting
}

// Spot is a place in a capture: line and column are counted from 1 in characters, Offset from 0 in bytes of the file's
// text in UTF-8.
type Spot struct {
	Path         string
	Line, Column int
	Offset       int
}

// Sighting is what a later capture of the same source says of a claim's words.
type Sighting struct {
	Captured string // ISO date
	State    string // "still there", "changed", "gone"
	At       Spot   // of the words, or of those that stand in their place
	Text     string // what stands in their place, where changed
}

// Held lists why a claim cannot be judged as it is written down, nil where nothing keeps it open: its words and its
// number differ, or its words are not in their capture.
func (s *Seen) Held() []string {
	if s == nil || s.Number != Differs && s.Capture != Differs {
		return nil
	}
	return s.Why
}

// Quotable reports whether the words were found in their capture, so that they may be quoted as seen.
func (s *Seen) Quotable() bool { return s != nil && s.Capture == Stands && s.Number != Differs }
