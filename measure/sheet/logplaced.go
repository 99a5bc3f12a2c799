package sheet

// framePlaced finds the readings of a log whose columns are asked for by place, or are to be guessed: the first row that has a time and a value
// there, with more of its kind below it; the header is the uppermost of the rows of names right above it.
func (s *logScan) framePlaced(rows []headRow) (f frame, ok bool) {
	for _, a := range s.task.asks {
		if !a.want.blank() && !a.want.placed() {
			continue
		}
		for j, row := range rows {
			if row.mark || row.blank() {
				continue
			}
			columns := s.placeless(len(row.cells))
			head := -1
			if h := s.namesAbove(rows, j); h >= 0 {
				columns, head = s.columnsOf(rows[h]), h
			}
			b, _, err := a.bindTo(columns, false)
			if err != nil || b.value.col >= len(row.cells) || b.value.col >= 0 && !readable(row.cells[b.value.col], s.rule) {
				continue
			}
			dated, _ := s.hasTime(columns, a, b, row)
			if !dated {
				continue
			}
			good, seen := 0, 0
			for k := j + 1; k < len(rows) && seen < 6; k++ {
				if rows[k].mark || rows[k].blank() {
					continue
				}
				seen++
				if d, _ := s.hasTime(columns, a, b, rows[k]); d && len(rows[k].cells) >= len(row.cells)-1 {
					good++
				}
			}
			if good*2 < seen {
				continue
			}
			if b.value.col < 0 && head < 0 && len(columns) < 2 {
				continue
			}
			return frame{header: head, data: j, columns: columns, sound: true}, true
		}
	}
	return f, false
}

// namesAbove finds the header above the first row of readings: the uppermost of the rows right above it, without a blank line between,
// that hold as many cells, each its own where there is such a row, and few numbers; -1 for none.
func (s *logScan) namesAbove(rows []headRow, data int) int {
	best := [3]int{-1, -1, -1} // full and each its own; full; each its own
	for i := data - 1; i >= 0 && i >= data-maxUnder; i-- {
		if rows[i].blank() || rows[i].mark && rows[i].cells[0] != "#" {
			break
		}
		names := s.columnsOf(rows[i])
		if len(names) < len(trimmed(rows[data].cells))-1 || len(names) > len(rows[data].cells)+1 || len(names) < 2 {
			break
		}
		seen, numbers, same := map[string]bool{}, 0, false
		for _, c := range names {
			same = same || c.Header != "" && seen[FoldName(c.Header)]
			seen[FoldName(c.Header)] = true
			if timeLike(c.Header) {
				numbers++
			}
		}
		full := len(names) == len(trimmed(rows[data].cells))
		switch {
		case numbers*2 >= len(names):
		case full && !same:
			best[0] = i
		case full:
			best[1] = i
		case !same:
			best[2] = i
		}
	}
	for _, i := range best {
		if i >= 0 {
			return i
		}
	}
	return -1
}

func trimmed(cells []string) []string {
	for n := len(cells); n > 0 && clean(cells[n-1]) == ""; n-- {
		cells = cells[:n-1]
	}
	return cells
}

// unitsAround gives what the row of units, under the header or right above it, says of a column; "" for nothing. Of several rows that one is
// taken for the row of units that holds most of them.
func (s *logScan) unitAround(rows []headRow, f frame, col int) string {
	if f.header < 0 {
		return ""
	}
	best, most := "", 0
	for i := max(0, f.header-1); i < f.data && i < len(rows); i++ {
		if i == f.header || rows[i].blank() || i < f.header && len(trimmed(rows[i].cells)) < len(f.columns)-1 {
			continue
		}
		n, here := 0, ""
		for k, text := range rows[i].cells {
			text = clean(text)
			if n := len(text); n > 2 && (text[0] == '(' && text[n-1] == ')' || text[0] == '[' && text[n-1] == ']') {
				text = clean(text[1 : n-1])
			}
			if knownUnit(text) || levelUnit(text) || headerOrder(text) != unknownOrder || shortClock(text) != 0 {
				n++
				if k == col {
					here = text
				}
			}
		}
		if n > most {
			best, most = here, n
		}
	}
	return best
}
