package sheet

import (
	"fmt"
	"io"
	"strconv"
)

// sheetCell is a cell as it stands in a sheet. Its bytes are valid until the next row.
type sheetCell struct {
	col     int
	style   int
	kind    byte // the t attribute: n number, s shared string, t text in place, b boolean, e error, d ISO date
	value   []byte
	formula bool
	valued  bool   // a value is written, though it may be empty
	rich    string // of a text in place with raised, lowered or struck characters, what they are
}

// sheetInfo is what a sheet says of itself beside its rows.
type sheetInfo struct {
	lastRow    int // the last row with a cell
	dimension  string
	hiddenRows []int
	hiddenCols [][2]int
	merged     []string
}

// sheetReader streams the rows of one sheet. It checks order and references of rows and cells, and the XML to its end.
type sheetReader struct {
	x     *xmlScanner
	info  sheetInfo
	cells []sheetCell
	ends  []int // of each cell's value in arena, until the row is complete
	arena []byte
	row   int
}

// readRows calls each for every row of the sheet that holds cells, in order. The cells are valid during the call.
func readRows(r io.Reader, each func(row int, cells []sheetCell) error) (*sheetInfo, error) {
	s := &sheetReader{x: newXMLScanner(r)}
	x := s.x
	data := false
	for {
		if err := x.next(); err != nil {
			return nil, err
		}
		if x.tok == tokEOF {
			if !data {
				return nil, fmt.Errorf("the sheet is damaged: it has no rows part")
			}
			return &s.info, nil
		}
		if x.tok != tokStart {
			continue
		}
		switch depth := len(x.stack); {
		case depth == 1 && string(x.name) != "worksheet":
			return nil, x.fault("found <%s> where <worksheet> is due", x.name)
		case depth == 2 && string(x.name) == "dimension":
			s.info.dimension, _ = x.attr("ref")
		case depth == 3 && string(x.name) == "col" && x.isTrue("hidden"):
			from, _ := x.attr("min")
			to, _ := x.attr("max")
			a, _ := strconv.Atoi(from)
			b, _ := strconv.Atoi(to)
			if a > 0 && b >= a {
				s.info.hiddenCols = append(s.info.hiddenCols, [2]int{a, b})
			}
		case depth == 3 && string(x.name) == "mergeCell":
			if ref, ok := x.attr("ref"); ok {
				s.info.merged = append(s.info.merged, ref)
			}
		case depth == 2 && string(x.name) == "sheetData":
			if data {
				return nil, x.fault("its rows stand in two parts")
			}
			data = true
			if err := s.rows(each); err != nil {
				return nil, err
			}
		}
	}
}

// rows reads <sheetData> to its end.
func (s *sheetReader) rows(each func(int, []sheetCell) error) error {
	x := s.x
	for {
		if err := x.next(); err != nil {
			return err
		}
		switch x.tok {
		case tokEnd:
			return nil
		case tokText:
			continue
		case tokEOF:
			return x.fault("it ends inside its rows")
		}
		if string(x.name) != "row" {
			return x.fault("found <%s> among the rows", x.name)
		}
		if err := s.readRow(); err != nil {
			return s.after(err)
		}
		if len(s.cells) > 0 {
			s.info.lastRow = s.row
			if err := each(s.row, s.cells); err != nil {
				return err
			}
		}
	}
}

// after says up to where the sheet is sound.
func (s *sheetReader) after(err error) error {
	if s.info.lastRow == 0 {
		return err
	}
	return fmt.Errorf("%v; the last row that could be read is row %d", err, s.info.lastRow)
}

func (s *sheetReader) readRow() error {
	x := s.x
	row := s.row + 1
	hidden := false
	for b := x.attrs; len(b) > 0; {
		name, value, rest, ok := nextAttr(b)
		if !ok {
			break
		}
		b = rest
		switch string(name) {
		case "r":
			n, ok := atoi(value)
			if ok && n > MaxSheetRows {
				return x.fault("%s", tooLarge("rows of the sheet", int64(n), MaxSheetRows))
			}
			if !ok || n < row {
				return x.fault("found row %s after row %d", quote(string(value)), s.row)
			}
			row = n
		case "hidden":
			hidden = string(value) == "1" || string(value) == "true"
		}
	}
	if row > MaxSheetRows {
		return x.fault("%s", tooLarge("rows of the sheet", int64(row), MaxSheetRows))
	}
	s.row = row
	s.cells, s.ends, s.arena = s.cells[:0], s.ends[:0], s.arena[:0]
	col := 0
	for {
		if err := x.next(); err != nil {
			return err
		}
		switch x.tok {
		case tokText:
			continue
		case tokEnd:
			from := 0
			for i, end := range s.ends { // now that the arena moves no more
				s.cells[i].value = s.arena[from:end:end]
				from = end
			}
			if hidden && len(s.cells) > 0 {
				s.info.hiddenRows = append(s.info.hiddenRows, row)
			}
			return nil
		case tokEOF:
			return x.fault("it ends inside row %d", row)
		}
		if string(x.name) != "c" {
			if err := s.skip(); err != nil {
				return err
			}
			continue
		}
		c, err := s.readCell(row, col)
		if err != nil {
			return err
		}
		col = c.col
		s.cells = append(s.cells, c)
		s.ends = append(s.ends, len(s.arena))
	}
}

// readCell reads <c> to its end; its value is added to the arena.
func (s *sheetReader) readCell(row, before int) (sheetCell, error) {
	x := s.x
	c := sheetCell{col: before + 1, kind: 'n'}
	for b := x.attrs; len(b) > 0; {
		name, value, rest, ok := nextAttr(b)
		if !ok {
			break
		}
		b = rest
		if len(name) != 1 {
			continue
		}
		switch name[0] {
		case 'r':
			col, r, ok := cellRef(value)
			if !ok || r != row || col <= before {
				return c, x.fault("found cell %s in row %d after column %s", quote(string(value)), row, ColumnLetters(before))
			}
			c.col = col
		case 's':
			n, ok := atoi(value)
			if !ok {
				return c, x.fault("found the style %s", quote(string(value)))
			}
			c.style = n
		case 't':
			switch string(value) {
			case "n", "s", "b", "e", "d":
				c.kind = value[0]
			case "str", "inlineStr":
				c.kind = 't'
			default:
				return c, x.fault("found a cell of the unknown type %s", quote(string(value)))
			}
		}
	}
	if c.col > MaxColumns {
		return c, x.fault("%s", tooLarge("columns of the sheet", int64(c.col), MaxColumns))
	}
	depth := len(x.stack)
	phonetic, inText := 0, false
	var rich richText
	for {
		if err := x.next(); err != nil {
			return c, err
		}
		switch x.tok {
		case tokStart:
			rich.start(x)
			switch string(x.name) {
			case "v":
				if len(x.stack) == depth+1 {
					if c.valued {
						return c, x.fault("a cell of row %d has two values", row)
					}
					c.valued, inText = true, true
				}
			case "t":
				if len(x.stack) > depth+1 && phonetic == 0 && c.kind == 't' {
					c.valued, inText = true, true
				}
			case "f":
				c.formula = c.formula || len(x.stack) == depth+1
			case "rPh":
				phonetic++
			}
		case tokText:
			if inText {
				var err error
				from := len(s.arena)
				if s.arena, err = x.appendText(s.arena); err != nil {
					return c, err
				}
				if c.kind == 't' {
					rich.add(s.arena[from:])
				}
				if len(s.arena) > MaxSheetRow {
					return c, x.fault("%s", tooLarge("bytes of one row", int64(len(s.arena)), MaxSheetRow))
				}
			}
		case tokEnd:
			if len(x.stack) < depth {
				c.rich = rich.done()
				return c, nil
			}
			switch string(x.name) {
			case "v", "t":
				inText = false
			case "rPh":
				phonetic--
			}
		case tokEOF:
			return c, x.fault("it ends inside a cell")
		}
	}
}

// skip passes over the element that was just opened.
func (s *sheetReader) skip() error {
	depth := len(s.x.stack)
	for {
		if err := s.x.next(); err != nil {
			return err
		}
		if s.x.tok == tokEnd && len(s.x.stack) < depth || s.x.tok == tokEOF {
			return nil
		}
	}
}

func atoi(b []byte) (int, bool) {
	if len(b) == 0 || len(b) > 9 {
		return 0, false
	}
	n := 0
	for _, c := range b {
		if c < '0' || c > '9' {
			return 0, false
		}
		n = n*10 + int(c-'0')
	}
	return n, true
}

// cellRef reads a reference such as AB12.
func cellRef(b []byte) (col, row int, ok bool) {
	i := 0
	for i < len(b) && b[i] >= 'A' && b[i] <= 'Z' && i < 4 {
		col = col*26 + int(b[i]-'A') + 1
		i++
	}
	if i == 0 {
		return 0, 0, false
	}
	row, ok = atoi(b[i:])
	return col, row, ok && row > 0
}
