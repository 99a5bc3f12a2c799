package sheet

import "strings"

// windows1252 reads a line whose bytes above 127 are letters and signs of Windows-1252: each stands alone, or beside another letter
// in lower case. In other encodings they come in rows, or are none of these.
func windows1252(s string) (string, bool) {
	const signs = "°µ²³¹·±½¼¾ºªéèêëáàâäãåæçíìîïñóòôöõøúùûüýÿßðþÉÈÊËÁÀÂÄÃÅÆÇÍÌÎÏÑÓÒÔÖÕØÚÙÛÜÝÞÐ§£©®«»"
	upper := map[byte]rune{0x80: '€', 0x89: '‰', 0x85: '…', 0x8A: 'Š', 0x8C: 'Œ', 0x8E: 'Ž', 0x91: '‘', 0x92: '’', 0x93: '“', 0x94: '”', 0x95: '•', 0x96: '–', 0x97: '—', 0x99: '™', 0x9A: 'š', 0x9C: 'œ', 0x9E: 'ž', 0xA0: ' '}
	var b strings.Builder
	run := 0
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c == 0 {
			return "", false
		}
		if c < 0x80 {
			b.WriteByte(c)
			run = 0
			continue
		}
		r, ok := upper[c]
		if !ok {
			r = rune(c)
			ok = c >= 0xA0 && strings.ContainsRune(signs, r)
		}
		if !ok {
			return "", false
		}
		if run++; run > 2 || run == 2 && !(lowerLatin(s[i-1]) && lowerLatin(c)) {
			return "", false
		}
		b.WriteRune(r)
	}
	return b.String(), true
}

func lowerLatin(c byte) bool { return c >= 0xDF && c != 0xF7 }
