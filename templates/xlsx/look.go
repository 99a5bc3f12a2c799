package xlsx

import (
	"strings"

	"github.com/xuri/excelize/v2"
)

// looks turns each Look into a style of the file once, in order of first use.
type looks struct {
	file *excelize.File
	ids  map[Look]int
}

func (l *looks) id(k Look) (int, error) {
	if id, ok := l.ids[k]; ok {
		return id, nil
	}
	id, err := l.file.NewStyle(k.style())
	if err != nil {
		return 0, err
	}
	l.ids[k] = id
	return id, nil
}

func (k Look) style() *excelize.Style {
	st := &excelize.Style{
		Font:      &excelize.Font{Family: face, Size: 10, Bold: k.Bold || k.Head || k.Title, Italic: k.Italic},
		Alignment: &excelize.Alignment{Vertical: "top", WrapText: k.Wrap || k.Head},
	}
	switch {
	case k.Title:
		st.Font.Size = 15
	case k.Grey:
		st.Font.Color = "6B6B6B"
	case k.Given:
		st.Font.Color = "1F4E8C"
	}
	if k.Right {
		st.Alignment.Horizontal = "right"
		if k.Head {
			st.Alignment.Indent = 1 // or it would touch the head of a text column on its right
		}
	}
	if k.Head {
		st.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"E7E7E2"}}
		st.Border = []excelize.Border{{Type: "bottom", Color: "4A4A4A", Style: 1}}
		st.Alignment.Vertical = "bottom"
	}
	switch k.Format {
	case "":
	case "@":
		st.NumFmt = 49
	default:
		format := k.Format
		if !strings.Contains(format, "y") {
			format += "_)" // a little room between a number and the text on its right
		}
		st.CustomNumFmt = &format
	}
	return st
}
