package rank

import (
	"io"
	"strings"
	"testing"

	"weighhouse/verdict"
)

// spaces gives spaces without an end.
type spaces struct{}

func (spaces) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = ' '
	}
	return len(b), nil
}

// A stream that does not end is read up to the limit of an audit.json, and no further.
func TestReadAuditLimit(t *testing.T) {
	_, err := ReadAudit(spaces{})
	if err == nil || !strings.Contains(err.Error(), "bytes of the file: 67 108 865 found, at most 67 108 864 accepted (a limit of this program") {
		t.Errorf("got %v", err)
	}
	if _, err := ReadAudit(io.LimitReader(spaces{}, 1000)); err == nil || strings.Contains(err.Error(), "limit of this program") {
		t.Errorf("spaces alone: %v", err)
	}
	if _, err := Compare(make([]*verdict.Audit, MostUnits+1), Options{}); err == nil || !strings.Contains(err.Error(), "found 41 (a limit of this program)") {
		t.Errorf("41 units: %v", err)
	}
}
