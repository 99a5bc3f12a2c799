package verdict

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"weighhouse/claims"
	"weighhouse/measure"
	"weighhouse/measure/lab"
	"weighhouse/measure/sheet"
)

// writtenAudit is a small audit as audit.json holds it.
func writtenAudit(t *testing.T) []byte {
	t.Helper()
	m := levelled(53, 1, 1, 0)
	p := levelled(47, 0.4, 0, 0)
	p.ID, p.Attribute, p.Unit = "M2", "power", "W"
	watts := noiseClaim(45, claims.AtMost, "")
	watts.ID, watts.Attribute, watts.UnitText, watts.Claimed.Unit, watts.Wording = "C2", claims.Power, "W", "W", "Rated input 45 W, whisper-quiet"
	a := Build(Evidence{Version: "1", Issued: "2026-08-03", Case: "x", Spec: &claims.Spec{Claims: []claims.Claim{noiseClaim(45, claims.AtMost, "1 m"), watts}},
		Bench: &lab.Results{Measurements: []measure.Measurement{m, p}}, Inputs: []sheet.Input{{Path: "spec.xlsx", Bytes: 10, SHA256: strings.Repeat("a", 64)}}})
	data, err := a.JSON()
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestVerifyEveryLeaf alters every number, text, list and object of an audit in turn: each is found, and named; a number that
// differs in its last digits is not a fault.
func TestVerifyEveryLeaf(t *testing.T) {
	data := writtenAudit(t)
	if c, err := Verify(data, data); err != nil || len(c.Differences)+len(c.Notes) > 0 {
		t.Fatalf("nothing altered: %v, %v", c, err)
	}
	tree, _, err := readTree(data)
	if err != nil {
		t.Fatal(err)
	}
	numbers, texts, objects := 0, 0, 0
	expect := func(path string, fault bool) {
		t.Helper()
		altered, err := json.Marshal(tree)
		if err != nil {
			t.Fatal(err)
		}
		c, err := Verify(altered, data)
		if err != nil || (len(c.Differences) > 0) != fault || fault && len(c.Causes) == 0 || !fault && len(c.Notes) == 0 {
			t.Errorf("%s: %+v, %v", path, c, err)
		}
	}
	var visit func(path string, v any, set func(any))
	visit = func(path string, v any, set func(any)) {
		if path == ".tool.machine" { // no fault, see TestVerifyMachine
			return
		}
		switch x := v.(type) {
		case map[string]any:
			objects++
			x["Verdict"] = "supported" // a key that a careless reader would take for the true one
			expect(path+".Verdict", true)
			delete(x, "Verdict")
			for k, y := range x {
				if k != "machine" {
					delete(x, k)
					expect(path+" without "+k, true)
					x[k] = y
				}
				visit(path+"."+k, y, func(z any) { x[k] = z })
			}
		case []any:
			set(append(x[:len(x):len(x)], "one more"))
			expect(path+" with one more", true)
			set(x)
			for i, y := range x {
				visit(fmt.Sprintf("%s[%d]", path, i), y, func(z any) { x[i] = z })
			}
		case json.Number:
			numbers++
			f, _ := x.Float64()
			if f == 0 {
				set(json.Number("1e-12"))
				expect(path, true)
			} else {
				for factor, fault := range map[float64]bool{1 + 2e-9: true, 1 - 2e-9: true, -1: true, 1 + 5e-10: false} {
					near := json.Number(strconv.FormatFloat(f*factor, 'g', -1, 64))
					set(near)
					expect(fmt.Sprintf("%s times %v", path, factor), fault)
				}
			}
			set(x)
		case string:
			texts++
			set(x + " ")
			expect(path, true)
			set(x)
		}
	}
	visit("", tree, nil)
	if numbers < 50 || texts < 60 || objects < 8 {
		t.Errorf("only %d numbers, %d texts, %d objects were altered", numbers, texts, objects)
	}
}

// TestVerifyMachine: another kind of machine is no difference, and is named.
func TestVerifyMachine(t *testing.T) {
	data := writtenAudit(t)
	other := bytes.Replace(data, []byte(`"machine": "`), []byte(`"machine": "other-`), 1)
	if c, err := Verify(other, data); err != nil || len(c.Differences) > 0 || len(c.Notes) != 1 || !strings.Contains(c.Notes[0], "another kind of machine, other-") {
		t.Errorf("%+v, %v", c, err)
	}
}

func TestVerifyNames(t *testing.T) {
	data := writtenAudit(t)
	for _, c := range []struct{ was, is, kind, what string }{
		{`"verdict": "contradicted"`, `"verdict": "supported"`, "verdict", "verdict of claim C1"},
		{`"path": "spec.xlsx"`, `"path": "spec2.xlsx"`, "input", "spec2.xlsx"},
		{`"issued": "2026-08-03"`, `"issued": "2026-08-04"`, "text", "issued"},
		{`"format": `, `"format": "other", "format": `, "json", "format"},
		{`"unit": "dB(A)"`, `"unit": "dB(A)", "unit": "dB(A)"`, "json", "unit"},
	} {
		if !bytes.Contains(data, []byte(c.was)) {
			t.Fatalf("the audit has no %s", c.was)
		}
		got, err := Verify(bytes.Replace(data, []byte(c.was), []byte(c.is), 1), data)
		if err != nil || len(got.Differences) == 0 || got.Differences[0].Kind != c.kind || !strings.Contains(got.Differences[0].What, c.what) {
			t.Errorf("%s: %+v, %v", c.is, got, err)
		}
	}
	if _, err := Verify(append(data, "{}"...), data); err == nil {
		t.Error("what stands behind the end was passed over")
	}
	// written in another order and with other white space, it is the same audit
	var tree map[string]any
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	if err := d.Decode(&tree); err != nil {
		t.Fatal(err)
	}
	flat, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	if c, err := Verify(flat, data); err != nil || len(c.Differences) > 0 {
		t.Errorf("the same content: %+v, %v", c, err)
	}
}
