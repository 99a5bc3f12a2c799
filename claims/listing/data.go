package listing

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"golang.org/x/net/html"
)

// pageData is what a page says of the offer beside what it shows: JSON-LD and the description in its head.
type pageData struct {
	scripts   []piece // JSON-LD, each with its place
	described []piece
}

// maxDataLines bounds the lines taken from a page's data.
const maxDataLines = 400

// writeData writes what the page's data say and its visible text does not, a line each, at the end of the body.
func (p *pageReader) writeData() {
	shown := squeezed(p.body.String())
	for _, s := range p.data.scripts {
		var v any
		if json.Unmarshal([]byte(s.text), &v) != nil {
			continue // a page's slip is none of the offer's
		}
		for _, line := range productLines(v, 0) {
			p.dataLine(shown, line, s.line, s.col)
		}
	}
	for _, s := range p.data.described {
		p.dataLine(shown, s.text, s.line, s.col)
	}
}

// dataLine writes a line unless the page shows its words already.
func (p *pageReader) dataLine(shown, line string, at, col int) {
	line = narrowed(strings.Join(strings.Fields(strings.ToValidUTF8(line, " ")), " "))
	label, value, labelled := strings.Cut(line, ": ")
	switch {
	case line == "" || strings.Contains(shown, squeezed(line)):
		return
	case labelled && strings.Contains(shown, squeezed(label)) && strings.Contains(shown, squeezed(value)):
		return
	case labelled && label == "Price" && strings.Contains(shown, squeezed(strings.TrimSuffix(strings.Fields(value)[0], ".00"))):
		return
	}
	p.breakLine()
	p.write(piece{text: line, line: at, col: col, flat: true})
	p.breakLine()
}

// squeezed is text without white space, for a look whether words stand in it.
func squeezed(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), "")) }

// elsewhereInData are the members of a product's data that speak of other products or of what others say.
var elsewhereInData = []string{"isRelatedTo", "isSimilarTo", "isAccessoryOrSparePartFor", "itemListElement", "review", "reviews", "aggregateRating", "hasVariant", "isVariantOf"}

// productLines lists as "label: value" what the data say of a product.
func productLines(v any, depth int) (out []string) {
	if depth > 20 {
		return nil
	}
	switch x := v.(type) {
	case []any:
		for _, e := range x {
			out = append(out, productLines(e, depth+1)...)
		}
	case map[string]any:
		if strings.Contains(fmt.Sprint(x["@type"]), "Product") {
			return productOfData(x)
		}
		for _, k := range slices.Sorted(mapKeys(x)) {
			if !slices.Contains(elsewhereInData, k) {
				out = append(out, productLines(x[k], depth+1)...)
			}
		}
	}
	return out[:min(len(out), maxDataLines)]
}

func mapKeys(m map[string]any) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

func productOfData(x map[string]any) (out []string) {
	add := func(label string, v any) {
		if m, ok := v.(map[string]any); ok {
			v = m["name"]
		}
		if s := strings.TrimSpace(dataText(v)); s != "" {
			out = append(out, label+": "+s)
		}
	}
	add("Brand", x["brand"])
	add("Model", x["model"])
	properties, _ := x["additionalProperty"].([]any)
	for _, e := range properties {
		if m, ok := e.(map[string]any); ok {
			value := dataText(m["value"])
			if lo, hi := dataText(m["minValue"]), dataText(m["maxValue"]); value == "" && lo+hi != "" {
				value = strings.Trim(lo+"–"+hi, "–")
			}
			add(dataText(m["name"]), strings.TrimSpace(value+" "+dataText(m["unitText"])))
		}
	}
	if s := dataText(x["description"]); s != "" {
		for _, line := range strings.Split(html.UnescapeString(tagged().ReplaceAllString(s, "\n")), "\n") {
			if line = strings.TrimSpace(line); line != "" {
				out = append(out, line)
			}
		}
	}
	offers, _ := x["offers"].(map[string]any)
	if list, ok := x["offers"].([]any); ok && len(list) == 1 {
		offers, _ = list[0].(map[string]any)
	}
	if price, currency := dataText(offers["price"]), dataText(offers["priceCurrency"]); price != "" && currency != "" {
		out = append(out, "Price: "+price+" "+currency)
	}
	return out
}

var tagged = lazily(`<[^>]*>`)

// dataText is a string or a number of the data; "" for anything else.
func dataText(v any) string {
	switch x := v.(type) {
	case string:
		return x
	case float64:
		return plain(x)
	}
	return ""
}
