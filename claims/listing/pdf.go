package listing

import (
	"bytes"
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/ledongthuc/pdf"
)

// maxPages bounds the pages that are read of a PDF.
const maxPages = 400

// textOfPDF is the text of a PDF's pages, a line of print a line, what stands apart on a line parted by spaces. An error says
// why there is none.
func textOfPDF(raw []byte) (text string, err error) {
	defer func() {
		if p := recover(); p != nil { // the reader panics on some damaged files
			text, err = "", fmt.Errorf("it is damaged: %v", p)
		}
	}()
	r, err := pdf.NewReader(bytes.NewReader(raw), int64(len(raw)))
	if err != nil {
		return "", fmt.Errorf("it cannot be opened: %w", err)
	}
	n := r.NumPage()
	if n > maxPages {
		return "", fmt.Errorf("it has %d pages, the most that are read is %d", n, maxPages)
	}
	var b strings.Builder
	for i := 1; i <= n && b.Len() <= MaxText; i++ {
		p := r.Page(i)
		if !p.V.IsNull() {
			writePage(&b, p.Content().Text)
		}
		b.WriteByte('\n')
	}
	if strings.TrimSpace(b.String()) == "" {
		return "", fmt.Errorf("its %d pages hold no text, only pictures", n)
	}
	return b.String(), nil
}

// writePage lays out the pieces of a page: those on one line of print by their place, top to bottom.
func writePage(b *strings.Builder, pieces []pdf.Text) {
	slices.SortStableFunc(pieces, func(x, y pdf.Text) int {
		if math.Abs(x.Y-y.Y) > lineApart(x, y) {
			return cmp.Compare(y.Y, x.Y)
		}
		return cmp.Compare(x.X, y.X)
	})
	start, letters := 0.0, 0 // of the run being read
	for i, p := range pieces {
		if i > 0 {
			last := pieces[i-1]
			size := math.Max(math.Min(p.FontSize, last.FontSize), 1)
			gap, wide, narrow := p.X-(last.X+last.W), 1.2*size, 0.18*size
			if last.W == 0 { // no widths: all pieces of a run stand at its beginning, and its blanks are pieces
				run := float64(letters) * 0.5 * size
				gap, wide, narrow = p.X-(start+run), 0.5*size+0.1*run, math.Inf(1)
			}
			switch {
			case math.Abs(p.Y-last.Y) > lineApart(p, last):
				b.WriteByte('\n')
				if last.Y-p.Y > 2.2*size {
					b.WriteByte('\n')
				}
				start, letters = p.X, 0
			case gap > wide:
				b.WriteString("   ")
			case gap > narrow && !strings.HasSuffix(last.S, " "):
				b.WriteByte(' ')
			}
			if p.X != last.X {
				start, letters = p.X, 0
			}
		} else {
			start = p.X
		}
		letters += len([]rune(p.S))
		b.WriteString(p.S)
	}
	b.WriteByte('\n')
}

// lineApart is how far two pieces of one line may stand from each other in height: a raised figure is one of its line.
func lineApart(x, y pdf.Text) float64 { return 0.45 * math.Max(math.Max(x.FontSize, y.FontSize), 4) }
