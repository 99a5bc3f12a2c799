package text

import "strings"

// Narrowed brings full-width digits, letters and marks of a text to their usual width, one character for one, so that places
// stay what they are: "４５Ｗ（弱）" reads as "45W(弱)".
func Narrowed(s string) string {
	if !strings.ContainsFunc(s, func(r rune) bool { return Narrow(r) != r }) {
		return s
	}
	return strings.Map(Narrow, s)
}

// Narrow is the usual form of a full-width character; any other character is itself.
func Narrow(r rune) rune {
	switch {
	case r >= '０' && r <= '９', r >= 'Ａ' && r <= 'Ｚ', r >= 'ａ' && r <= 'ｚ':
		return r - '０' + '0'
	}
	switch r {
	case '％', '（', '）', '：', '／', '；', '＋', '＜', '＞', '＝', '｜', '＊', '［', '］', '．', '＆', '＃':
		return r - '！' + '!'
	case '～', '〜', '∼', '˜':
		return '~'
	case '≦', '⩽', '≲':
		return '≤'
	case '≧', '⩾', '≳':
		return '≥'
	case '−', '－':
		return '-'
	}
	return r
}
