package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// TestDemoAsWasm audits the demo with the program built for WebAssembly, run by Node, and sets its audit.json beside the
// native one: the same fields, texts and verdicts, numbers to 1e-9, and the kind of machine named in each.
func TestDemoAsWasm(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program for WebAssembly")
	}
	node := need(t, "node")
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	program := filepath.Join(dir, "weighhouse.wasm")
	build := exec.Command("go", "build", "-trimpath", "-o", program, ".")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
	if said, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	args := []string{"audit", "../../testdata/demo-csv", "--format", "json", "--date", "2026-08-03", "--out"}
	run1 := exec.Command(node, append([]string{"--stack-size=8192", filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec_node.js"), program}, append(args, filepath.Join(dir, "wasm"))...)...)
	run1.Env = []string{"PATH=" + os.Getenv("PATH"), "HOME=" + dir, "TMPDIR=" + dir} // the launcher of Go takes at most 8 KB of arguments and environment
	if said, err := run1.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	var out, errOut bytes.Buffer
	if got := run(append(args, filepath.Join(dir, "native")), nil, &out, &errOut); got != exitDone {
		t.Fatalf("status %d: %s", got, errOut.String())
	}
	read := func(sub string) (v map[string]any) {
		data, err := os.ReadFile(filepath.Join(dir, sub, "audit.json"))
		if err == nil {
			err = json.Unmarshal(data, &v)
		}
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	a, b := read("wasm"), read("native")
	for v, want := range map[string]map[string]any{"wasm": a, runtime.GOARCH: b} {
		if got := want["tool"].(map[string]any)["machine"]; got != v {
			t.Errorf("tool.machine %v, want %s", got, v)
		}
	}
	delete(a["tool"].(map[string]any), "machine")
	delete(b["tool"].(map[string]any), "machine")
	n, worst := 0, 0.0
	sameAudit(t, "", a, b, &n, &worst)
	if n < 500 {
		t.Errorf("only %d numbers compared", n)
	}
	t.Logf("%d numbers, the largest relative difference %.2g", n, worst)
}

func sameAudit(t *testing.T, at string, a, b any, n *int, worst *float64) {
	switch x := a.(type) {
	case map[string]any:
		y, ok := b.(map[string]any)
		if !ok || len(x) != len(y) {
			t.Errorf("%s: other fields", at)
			return
		}
		for k := range x {
			sameAudit(t, at+"."+k, x[k], y[k], n, worst)
		}
	case []any:
		y, ok := b.([]any)
		if !ok || len(x) != len(y) {
			t.Errorf("%s: other length", at)
			return
		}
		for i := range x {
			sameAudit(t, at, x[i], y[i], n, worst)
		}
	case float64:
		y, ok := b.(float64)
		*n++
		if d := math.Abs(x - y); !ok || d > 1e-9*max(math.Abs(x), math.Abs(y)) {
			t.Errorf("%s: %v as wasm, %v natively", at, a, b)
		} else if d > 0 {
			*worst = max(*worst, d/max(math.Abs(x), math.Abs(y)))
		}
	default:
		if a != b {
			t.Errorf("%s: %v as wasm, %v natively", at, a, b)
		}
	}
}
