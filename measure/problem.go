package measure

// RunProblem is a reading, run or row that a reduction could not use, or not in full: which one, where it stands,
// and in one sentence why. A problem never stops the rest of a reduction.
type RunProblem struct {
	Run   string // the row's own label: a run's name, a setting, a size
	Place string // "lab.xlsx: sheet sound, row 4"
	Text  string // lower case, no full stop

	// Attribute, Setting and Particle are those of the result that it would have given; "" where not known.
	Attribute, Setting, Particle string
}

func (p RunProblem) Error() string {
	s := p.Text
	if p.Run != "" {
		s = p.Run + ": " + s
	}
	if p.Place != "" {
		s = p.Place + ": " + s
	}
	return s
}
