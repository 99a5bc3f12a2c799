package pdf

import (
	"strings"

	"weighhouse/templates/document"
	"weighhouse/templates/figure"
	"weighhouse/verdict"
)

// ended gives a text its full stop.
func ended(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return s
	}
	return s + "."
}

// verdictText is the shape of a verdict and its word.
func verdictText(o verdict.Outcome, size float64) document.Text {
	return document.Text{document.Inline(figure.VerdictMark(o, 0.78*size)), document.Bold("\u00a0" + string(o))}
}

// unbroken keeps the parts of a place together: "row 2", "cell C4".
func unbroken(place string) string {
	return strings.NewReplacer("row ", "row\u00a0", "cell ", "cell\u00a0", "sheet ", "sheet\u00a0").Replace(place)
}
