package rank

import (
	"bytes"
	"encoding/json"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
	"weighhouse/verdict"
)

// demoAudit is the audit.json of the demo case.
func demoAudit(t testing.TB) []byte {
	t.Helper()
	f, err := sheet.OpenFolder("../../testdata/demo")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	spec, err := f.Book("spec")
	if err != nil {
		t.Fatal(err)
	}
	book, err := f.Book("lab")
	if err != nil {
		t.Fatal(err)
	}
	s, ps := claims.Read(spec)
	b, more := lab.Read(f, book)
	if ps = append(ps, more...); len(ps) > 0 {
		t.Fatal(ps)
	}
	var out bytes.Buffer
	if err := verdict.Build(verdict.Evidence{Version: "test", Issued: "2026-08-03", Case: "demo", Spec: s, Bench: b, Inputs: f.Inputs()}).WriteJSON(&out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// FuzzReadAudit reads any text as an audit.json: it is refused or read; what is read can be ranked against a sound one and
// checked against another without giving up.
func FuzzReadAudit(f *testing.F) {
	demo := demoAudit(f)
	sound, err := ReadAudit(bytes.NewReader(demo))
	if err != nil {
		f.Fatal(err)
	}
	small := `{"format":"weighhouse-audit/1","tool":{"version":"1"},"issued":"2026-08-03","room":{"volume_m3":45,"u":1},"test":{"date":"2026-05-14"},"measurements":[
{"id":"M1","attribute":"delivery rate","setting":"max","particle":"smoke","value":262,"unit":"m3/h","u":10,"U":20,"k":2,"dof":12,"budget":[{"component":"room volume","u":3}],
"runs":[{"run":"a","state":"on","value":7.1,"unit":"1/h","u":0.1,"start":"2026-05-12T10:25:00"},{"run":"b","state":"off","value":0.2,"unit":"1/h","u":0.1}]}],"costs":[{"option":"x","total":30}]}`
	for _, s := range []string{small, `{"format":"weighhouse-audit/1"}`, `{"format":"other"}`, `{`, `null`, `[]`, `{"format":"weighhouse-audit/1","measurements":[{"runs":[null]}],"claims":[{"claimed":{}}]}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var r verdict.Report
		if json.Unmarshal(data, &r) == nil {
			_, _ = verdict.Verify(data, demo)
			_, _ = verdict.Verify(demo, data)
			if plain, err := json.Marshal(r); err == nil {
				if got, err := verdict.Verify(plain, plain); err != nil || len(got.Differences) > 0 {
					t.Fatalf("an audit does not follow from itself: %v %+v", err, got.Differences)
				}
			}
		}
		a, err := ReadAudit(bytes.NewReader(data))
		if err != nil {
			return
		}
		if made, err := Compare([]*verdict.Audit{a, sound}, Options{Issued: "2026-08-03"}); err == nil {
			var out bytes.Buffer
			if err := made.WriteJSON(&out); err != nil {
				t.Fatal(err)
			}
		}
	})
}
