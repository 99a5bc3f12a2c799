package sheet

import (
	"bytes"
)

func (x *xmlScanner) endTag() error {
	n := x.index('>', 2)
	if n < 0 {
		return x.fault("it ends inside a tag")
	}
	name := trimRight(x.buf[x.pos+2 : x.pos+n])
	if len(x.stack) == 0 {
		return x.fault("</%s> closes nothing", name)
	}
	if open := x.stack[len(x.stack)-1]; open != string(name) {
		return x.fault("</%s> stands where </%s> is due", name, open)
	}
	x.stack = x.stack[:len(x.stack)-1]
	x.tok, x.name = tokEnd, local(name)
	x.pos += n + 1
	return nil
}

func (x *xmlScanner) startTag() error {
	n := 0
	for from := 1; ; { // to the first > that stands in no quotes
		n = x.index('>', from)
		if n < 0 {
			return x.fault("it ends inside a tag")
		}
		if open := openQuote(x.buf[x.pos : x.pos+n]); !open {
			break
		}
		from = n + 1
	}
	tag := x.buf[x.pos+1 : x.pos+n]
	if err := x.check(tag); err != nil {
		return err
	}
	if len(x.stack) == 0 && x.root {
		return x.fault("it has two root elements")
	}
	self := len(tag) > 0 && tag[len(tag)-1] == '/'
	if self {
		tag = tag[:len(tag)-1]
	}
	i := 0
	for i < len(tag) && !space(tag[i]) {
		i++
	}
	name := tag[:i]
	if !isName(name) {
		return x.fault("found a tag without a sound name")
	}
	full, ok := "", false
	if len(name) == 1 && x.short[name[0]] != "" { // c and v make up most of a sheet
		full, ok = x.short[name[0]], true
	} else {
		full, ok = x.names[string(name)]
	}
	if !ok {
		if len(x.names) > 10_000 {
			return x.fault("it uses more than 10 000 element names")
		}
		full = string(name)
		x.names[full] = full
		if len(full) == 1 {
			x.short[full[0]] = full
		}
	}
	if len(x.stack) >= MaxDepth {
		return x.fault("%s", tooLarge("nested elements", int64(len(x.stack)+1), MaxDepth))
	}
	x.stack = append(x.stack, full)
	x.root = true
	x.tok, x.name, x.attrs, x.selfE = tokStart, local(name), tag[i:], self
	x.pos += n + 1
	return x.checkAttrs()
}

// openQuote reports whether the bytes of a tag end inside an attribute's quotes.
func openQuote(b []byte) bool {
	open := byte(0)
	for _, c := range b {
		switch {
		case c != '"' && c != '\'':
		case open == 0:
			open = c
		case open == c:
			open = 0
		}
	}
	return open != 0
}

func trimRight(b []byte) []byte {
	for len(b) > 0 && space(b[len(b)-1]) {
		b = b[:len(b)-1]
	}
	return b
}

func space(c byte) bool { return c == ' ' || c == '\t' || c == '\n' || c == '\r' }

func isName(b []byte) bool {
	if len(b) == 0 || b[0] >= '0' && b[0] <= '9' || b[0] == '-' || b[0] == '.' {
		return false
	}
	for _, c := range b {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', c == '_', c == ':', c == '-', c == '.', c >= 0x80:
		default:
			return false
		}
	}
	return true
}

func local(name []byte) []byte {
	if i := bytes.IndexByte(name, ':'); i >= 0 {
		return name[i+1:]
	}
	return name
}
