package quote

import (
	"strings"

	"weighhouse/claims/listing"
	"weighhouse/measure/unit"
)

var (
	hanDigits = map[rune]float64{'零': 0, '〇': 0, '一': 1, '二': 2, '两': 2, '三': 3, '四': 4, '五': 5, '六': 6, '七': 7, '八': 8, '九': 9}
	hanScales = map[rune]float64{'十': 10, '百': 100, '千': 1000, '万': 10000}
)

// hanNumbers reads numbers that Chinese or Japanese write in characters: 三百四十, and 百分之九十九 as per cent.
func hanNumbers(s string) []listing.Figure {
	var out []listing.Figure
	rs := []rune(s)
	at := 0
	for i := 0; i < len(rs); {
		total, current, n := 0.0, 0.0, 0
		for j := i; j < len(rs); j++ {
			if d, ok := hanDigits[rs[j]]; ok {
				current, n = d, n+1
				continue
			}
			x, ok := hanScales[rs[j]]
			if !ok {
				break
			}
			if current == 0 {
				current = 1
			}
			total, current, n = total+current*x, 0, n+1
		}
		if n == 0 {
			at += len(string(rs[i]))
			i++
			continue
		}
		end := at + len(string(rs[i:i+n]))
		f := listing.Figure{Value: total + current, Half: 0.5, Start: at, End: end}
		switch {
		case strings.HasSuffix(s[:at], "百分之"):
			f.Unit = unit.Base(unit.Ratio)
		default:
			for _, u := range unitsBehind(s, end) {
				f.Unit, f.End = u.unit, u.end
			}
		}
		out = append(out, f)
		at, i = end, i+n
	}
	return out
}
