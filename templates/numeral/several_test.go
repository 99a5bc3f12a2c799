package numeral

import "testing"

func TestSeveral(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Several(0, "finding"), "0 findings"}, {Several(1, "finding"), "1 finding"}, {Several(2, "finding"), "2 findings"},
		{Several(1, "place is", "places are"), "1 place is"}, {Several(3, "place is", "places are"), "3 places are"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
