package verdict

import (
	"io"
	"strings"
	"testing"
)

// No audit.json is written that the program would not read.
func TestWriteJSONLimit(t *testing.T) {
	a := &Audit{Notes: []string{strings.Repeat("x", MaxFile)}}
	err := a.WriteJSON(io.Discard)
	if err == nil || !strings.Contains(err.Error(), "bytes of audit.json: 67 1") || !strings.Contains(err.Error(), "at most 67 108 864 accepted (a limit of this program") {
		t.Errorf("got %v", err)
	}
}
