package sheet

import (
	"bytes"
	"strconv"
	"unicode/utf8"
)

// nextAttr takes the first attribute off the attributes of a tag; ok is false where the text is none.
func nextAttr(b []byte) (name, value, rest []byte, ok bool) {
	i := 0
	for i < len(b) && space(b[i]) {
		i++
	}
	if i == 0 && len(b) > 0 {
		return nil, nil, nil, false // attributes are parted by space
	}
	b = b[i:]
	eq := bytes.IndexByte(b, '=')
	if eq < 0 {
		return nil, nil, nil, false
	}
	name = trimRight(b[:eq])
	b = b[eq+1:]
	for len(b) > 0 && space(b[0]) {
		b = b[1:]
	}
	if len(b) < 2 || b[0] != '"' && b[0] != '\'' {
		return nil, nil, nil, false
	}
	end := bytes.IndexByte(b[1:], b[0])
	if end < 0 {
		return nil, nil, nil, false
	}
	return name, b[1 : end+1], b[end+2:], true
}

// checkAttrs checks the attributes of the current start tag: sound names, values in quotes, none twice.
func (x *xmlScanner) checkAttrs() error {
	if len(x.attrs) == 0 {
		return nil
	}
	seen := x.seen[:0]
	for b := trimRight(x.attrs); len(b) > 0; {
		name, value, rest, ok := nextAttr(b)
		if !ok || !isName(name) || bytes.IndexByte(value, '<') >= 0 {
			return x.fault("the attributes of <%s> are not well formed", x.name)
		}
		for _, s := range seen {
			if bytes.Equal(s, name) {
				return x.fault("the attribute %s of <%s> stands twice", name, x.name)
			}
		}
		if len(seen) == MaxAttributes {
			return x.fault("%s", tooLarge("attributes of one element", MaxAttributes+1, MaxAttributes))
		}
		seen = append(seen, name)
		if bytes.IndexByte(value, '&') >= 0 {
			if _, ok := unescape(nil, value); !ok {
				return x.fault("an attribute of <%s> holds an unknown reference", x.name)
			}
		}
		b = rest
	}
	x.seen = seen
	return nil
}

// attr gives the value of an attribute of the current start tag by its full name, decoded.
func (x *xmlScanner) attr(want string) (string, bool) {
	for b := x.attrs; len(b) > 0; {
		name, value, rest, ok := nextAttr(b)
		if !ok {
			break
		}
		if string(name) == want {
			out, _ := unescape(nil, value)
			return string(out), true
		}
		b = rest
	}
	return "", false
}

// localAttr is attr by the name without its prefix: the id of r:id.
func (x *xmlScanner) localAttr(want string) string {
	for b := x.attrs; len(b) > 0; {
		name, value, rest, ok := nextAttr(b)
		if !ok {
			break
		}
		if bytes.IndexByte(name, ':') > 0 && string(local(name)) == want {
			out, _ := unescape(nil, value)
			return string(out)
		}
		b = rest
	}
	return ""
}

// isTrue reports whether an attribute says yes.
func (x *xmlScanner) isTrue(want string) bool {
	v, ok := x.attr(want)
	return ok && (v == "1" || v == "true" || v == "on")
}

// appendText adds the current text, decoded, to dst. CR and CRLF become LF, as XML has it.
func (x *xmlScanner) appendText(dst []byte) ([]byte, error) {
	if x.raw {
		dst = append(dst, x.text...)
	} else {
		var ok bool
		if dst, ok = unescape(dst, x.text); !ok {
			return dst, x.fault("a text holds an unknown reference")
		}
	}
	return dst, nil
}

// unescape appends text to dst with the five named references and the numeric ones decoded.
func unescape(dst, text []byte) ([]byte, bool) {
	for {
		i := bytes.IndexByte(text, '&')
		if i < 0 {
			return append(dst, text...), true
		}
		dst = append(dst, text[:i]...)
		end := bytes.IndexByte(text[i:], ';')
		if end < 0 || end > 12 {
			return dst, false
		}
		ref := string(text[i+1 : i+end])
		text = text[i+end+1:]
		switch ref {
		case "amp":
			dst = append(dst, '&')
		case "lt":
			dst = append(dst, '<')
		case "gt":
			dst = append(dst, '>')
		case "quot":
			dst = append(dst, '"')
		case "apos":
			dst = append(dst, '\'')
		default:
			r, ok := numericRef(ref)
			if !ok {
				return dst, false
			}
			dst = utf8.AppendRune(dst, r)
		}
	}
}

// numericRef decodes #10 and #xA; only characters that XML allows.
func numericRef(ref string) (rune, bool) {
	if len(ref) < 2 || ref[0] != '#' {
		return 0, false
	}
	digits, base := ref[1:], 10
	if digits[0] == 'x' {
		digits, base = digits[1:], 16
	}
	n, err := strconv.ParseUint(digits, base, 32)
	if err != nil || n > utf8.MaxRune || n >= 0xD800 && n < 0xE000 {
		return 0, false
	}
	if n < 0x20 && n != '\t' && n != '\n' && n != '\r' || n == 0xFFFE || n == 0xFFFF {
		return 0, false
	}
	return rune(n), true
}
