package pdf

import (
	"bytes"
	"os"
	"testing"

	"weighhouse/templates/document"
	"weighhouse/templates/internal/mossgate"
)

func TestWriteLook(t *testing.T) {
	dir := os.Getenv("LOOK")
	if dir == "" {
		t.Skip("LOOK names no folder")
	}
	for _, p := range []string{"a4", "letter"} {
		var b bytes.Buffer
		ws, err := Write(&b, mossgate.Audit(), Options{Paper: p, Attach: []document.Attachment{{Name: "audit.json", MIME: "application/json", Relationship: "Data", Description: "the audit as data", Data: []byte("{}")}}})
		if err != nil {
			t.Fatal(err)
		}
		t.Log(ws)
		os.WriteFile(dir+"/"+p+".pdf", b.Bytes(), 0o644)
	}
}

func BenchmarkWrite(b *testing.B) {
	a := mossgate.Audit()
	b.ReportAllocs()
	for b.Loop() {
		var out bytes.Buffer
		if _, err := Write(&out, a, Options{}); err != nil {
			b.Fatal(err)
		}
		b.SetBytes(int64(out.Len()))
	}
}
