package main

import "testing"

// The names of locales are those of POSIX and of glibc's SUPPORTED file (from memory); the bytes are those that Python's
// codecs give.
func TestCharset(t *testing.T) {
	const text = "262 ± 12 m³/h ■ supported “é” 智"
	const plain = `262 +/- 12 m3/h + supported "?" ?`
	for _, c := range []struct {
		env  map[string]string
		want string
	}{
		{nil, text},
		{map[string]string{"LANG": "en_GB.UTF-8"}, text},
		{map[string]string{"LANG": "de_DE.utf8@euro"}, text},
		{map[string]string{"LANG": "C", "LC_ALL": "C.UTF-8"}, text},
		{map[string]string{"LANG": "en_GB"}, text}, // its encoding is not named
		{map[string]string{"LANG": "C"}, plain},
		{map[string]string{"LC_CTYPE": "POSIX", "LANG": "en_GB.UTF-8"}, plain},
		{map[string]string{"LANG": "en_US.ANSI_X3.4-1968"}, plain},
		{map[string]string{"LANG": "de_DE.ISO-8859-1"}, "262 \xb1 12 m\xb3/h + supported \"\xe9\" ?"},
		{map[string]string{"LANG": "tr_TR.ISO8859-9"}, "262 \xb1 12 m\xb3/h + supported \"\xe9\" ?"},
		{map[string]string{"LANG": "en_US.CP1252"}, "262 \xb1 12 m\xb3/h + supported \x93\xe9\x94 ?"},
		{map[string]string{"LANG": "cs_CZ.ISO8859-2"}, "262 +/- 12 m3/h + supported \"\xe9\" ?"},
		{map[string]string{"LANG": "zh_CN.GB18030"}, "262 \xa1\xc0 12 m\x81\x30\x85\x36/h \xa1\xf6 supported \xa1\xb0\xa8\xa6\xa1\xb1 \xd6\xc7"},
		{map[string]string{"LANG": "xx_XX.unknown"}, plain},
	} {
		got := text
		if to := charsetOf(func(name string) string { return c.env[name] }); to != nil {
			got = to.recode(text)
		}
		if got != c.want {
			t.Errorf("%v: %q, want %q", c.env, got, c.want)
		}
	}
}
