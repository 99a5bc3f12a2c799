package listing

import (
	"strings"
)

var (
	postHead = lazily(`^#?\d{0,4}[ .)]*\p{L}[\p{L}\p{N}_.@-]*(?: \p{L}[\p{L}\p{N}_.@-]*)? ?\(?`)
	clock    = lazily(`^\[?\d{1,2}[:.]\d{2}(?::\d{2})?\]?[ ,–-]*`)
	// labelledLine begins with who speaks: "10:41 buyer_7731: …", "Customer: …".
	labelledLine = lazily(`^(?:\[?\d{1,2}[:.]\d{2}(?::\d{2})?\]?[ ,–-]*)?[\p{L}][\p{L}\p{N}_.,@ -]{0,30}:`)
	// asked begins a line with a question of somebody else.
	asked     = lazily(`^(?:Q|Question|F|Frage|P|Pregunta|D|Domanda)\d{0,2} ?[:.)] `)
	signature = lazily(`["”»“][ ]*[-–—(][^\n]{2,60}$`)
	stars     = lazily(`[★☆⭐]{2,}|\b[1-5](?:[.,]\d)?(?: ?/ ?| (?:out )?of )5\b`)
)

// roles tells whether the text is of several hands, one of them named as the seller.
func (a *asideFinder) roles() {
	marked, lines := 0, 0
	for _, l := range strings.Split(a.t.Body, "\n") {
		if role := roleOf(l); role == "seller" {
			a.sellers = true
		}
		if strings.TrimSpace(l) != "" {
			lines++
			if strings.HasPrefix(l, ">") {
				marked++
			}
		}
	}
	a.quoted = marked*2 < lines // a text that was forwarded whole is marked on every line
}

// roleOf is who speaks from a line on: "seller", "buyer", or "" where the line does not say: "#2 gustav (dealer)",
// "Customer: …".
func roleOf(line string) string {
	line = strings.TrimSpace(clock().ReplaceAllString(strings.TrimSpace(line), ""))
	head := line
	labelled := false
	if i := strings.IndexByte(line, ':'); i >= 0 && i <= 40 {
		head, labelled = line[:i], true
	}
	if len(head) > 60 {
		return ""
	}
	hits := vocabulary().find(foldText(head), "aside")
	for _, h := range hits {
		v := h.row.Value
		if v != "seller" && v != "buyer" {
			continue
		}
		if labelled && (h.start == 0 || strings.HasSuffix(head[:h.start], ", ")) && strings.Trim(head[h.end:], "_- #0123456789") == "" || strings.HasPrefix(head[h.end:], ")") && h.start > 0 && head[h.start-1] == '(' && postHead().MatchString(head) {
			return v
		}
	}
	if strings.HasPrefix(line, "#") && len(line) < 40 && len(strings.Fields(line)) == 2 {
		return "buyer" // "#1 mossbeard": a post by nobody in particular
	}
	return ""
}
