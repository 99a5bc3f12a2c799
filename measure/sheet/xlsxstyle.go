package sheet

import (
	"strconv"
	"strings"
)

// look is how a number format shows a number, as far as it changes what the number means.
type look byte

const (
	plainLook    look = iota
	percentLook       // 0.97 is 97 %
	dateLook          // a date without a time of day
	timeLook          // a time of day without a date
	dateTimeLook      // both
	elapsedLook       // hours or minutes that go on past 24 or 60: [h]:mm
)

// builtin gives the look of the number formats that have a number and no code (ECMA-376 part 1, 18.8.30; 27–36 and
// 50–58 are the dates of the East Asian locales).
func builtin(id int) look {
	switch {
	case id == 9 || id == 10:
		return percentLook
	case id >= 14 && id <= 17, id >= 27 && id <= 31, id == 36, id >= 50 && id <= 54, id == 57, id == 58:
		return dateLook
	case id >= 18 && id <= 21, id >= 32 && id <= 35, id == 45, id == 47, id == 55, id == 56:
		return timeLook
	case id == 22:
		return dateTimeLook
	case id == 46:
		return elapsedLook
	}
	return plainLook
}

// formatLook reads a number format's code: a date where y or d stands outside quotes and brackets, a time where h or s
// does, m by its neighbours.
func formatLook(code string) look {
	var b strings.Builder
	elapsed := false
	for i := 0; i < len(code); i++ {
		switch code[i] {
		case '\\', '_', '*':
			i++ // the next character stands for itself
		case '"':
			end := strings.IndexByte(code[i+1:], '"')
			if end < 0 {
				end = len(code) - i - 1
			}
			i += end + 1
		case '[':
			end := strings.IndexByte(code[i:], ']')
			if end < 0 {
				end = len(code) - i - 1
			}
			switch strings.ToLower(strings.Trim(code[i:i+end+1], "[]")) {
			case "h", "hh", "m", "mm", "s", "ss":
				elapsed = true
			}
			i += end
		case ';':
			i = len(code) // the first section is for positive numbers
		default:
			b.WriteByte(code[i])
		}
	}
	s := strings.ToLower(b.String())
	if s == "general" || s == "standard" {
		return plainLook
	}
	s = strings.NewReplacer("am/pm", "", "a/p", "", "e+", "", "e-", "").Replace(s)
	date := strings.ContainsAny(s, "yd")
	clock := strings.ContainsAny(s, "hs")
	if strings.Contains(s, "m") && !date && !clock && !elapsed {
		date = true // a month alone
	}
	switch {
	case elapsed:
		return elapsedLook
	case date && clock:
		return dateTimeLook
	case date:
		return dateLook
	case clock:
		return timeLook
	case strings.Contains(s, "%"):
		return percentLook
	}
	return plainLook
}

// cellStyle is what a style says of a cell beyond its colour: how it shows a number, and whether it strikes it through.
type cellStyle struct {
	look   look
	struck bool
}

// readStyles gives the cell styles, by their index.
func (p *parts) readStyles(part string) ([]cellStyle, error) {
	codes := map[int]look{}
	var out []cellStyle
	var fonts []bool // struck through
	inXfs := false
	err := p.scan(part, func(x *xmlScanner) error {
		switch name := string(x.name); {
		case x.tok == tokStart && name == "font" && len(x.stack) == 3:
			fonts = append(fonts, false)
		case x.tok == tokStart && name == "strike" && len(x.stack) == 4 && len(fonts) > 0:
			if v, ok := x.attr("val"); !ok || v != "0" && v != "false" {
				fonts[len(fonts)-1] = true
			}
		case x.tok == tokStart && name == "numFmt" && !inXfs:
			id, _ := x.attr("numFmtId")
			code, _ := x.attr("formatCode")
			if n, err := strconv.Atoi(id); err == nil && len(x.stack) == 3 {
				codes[n] = formatLook(code)
			}
		case x.tok == tokStart && name == "cellXfs":
			inXfs = true
		case x.tok == tokEnd && name == "cellXfs":
			inXfs = false
		case x.tok == tokStart && name == "xf" && inXfs:
			s, _ := x.attr("numFmtId")
			id, _ := strconv.Atoi(s)
			l, ok := codes[id]
			if !ok {
				l = builtin(id)
			}
			s, _ = x.attr("fontId")
			f, err := strconv.Atoi(s)
			out = append(out, cellStyle{l, err == nil && f >= 0 && f < len(fonts) && fonts[f]})
		}
		return nil
	})
	return out, err
}

// sharedStrings holds the texts that cells refer to, in one run of bytes.
type sharedStrings struct {
	bytes []byte
	ends  []uint32
	rich  map[int]string // of a text with raised, lowered or struck characters, what they are
}

func (s *sharedStrings) len() int { return len(s.ends) }

func (s *sharedStrings) at(i int) []byte {
	from := uint32(0)
	if i > 0 {
		from = s.ends[i-1]
	}
	return s.bytes[from:s.ends[i]]
}

// readStrings reads the shared strings; runs of rich text are joined, phonetic guides left out.
func (p *parts) readStrings(part string) (*sharedStrings, error) {
	s := &sharedStrings{}
	if f := p.files[part]; f != nil && f.UncompressedSize64 > uint64(MaxStrings) {
		return nil, errorText(tooLarge("bytes of shared strings", int64(f.UncompressedSize64), MaxStrings))
	}
	phonetic, inT := 0, false
	var rich richText
	err := p.scan(part, func(x *xmlScanner) (err error) {
		switch x.tok {
		case tokStart:
			rich.start(x)
			switch string(x.name) {
			case "rPh":
				phonetic++
			case "t":
				inT = phonetic == 0
			}
		case tokText:
			if inT {
				from := len(s.bytes)
				s.bytes, err = x.appendText(s.bytes)
				rich.add(s.bytes[from:])
			}
		case tokEnd:
			switch string(x.name) {
			case "rPh":
				phonetic--
			case "t":
				inT = false
			case "si":
				if said := rich.done(); said != "" {
					if s.rich == nil {
						s.rich = map[int]string{}
					}
					s.rich[len(s.ends)] = said
				}
				s.ends = append(s.ends, uint32(len(s.bytes)))
			}
		}
		return err
	})
	return s, err
}

type errorText string

func (e errorText) Error() string { return string(e) }
