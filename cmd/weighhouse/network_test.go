package main

import (
	"os/exec"
	"strings"
	"testing"
)

// TestNoNetwork: no package of this module imports one that opens connections or starts programs. The packages net and
// net/http come along with two libraries, which do not connect either: pflag, for flags that hold addresses, and excelize,
// which asks net/http for the kind of a picture by its first bytes.
func TestNoNetwork(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "weighhouse/...").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	closed := map[string]bool{"net": true, "net/http": true, "net/rpc": true, "net/smtp": true, "net/textproto": true, "crypto/tls": true, "os/exec": true, "plugin": true, "C": true}
	n := 0
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		w := strings.Fields(line)
		n++
		for _, p := range w[1:] {
			if p == "os/exec" && w[0] == "weighhouse/cmd/desk" { // it starts the go command, to build the page
				continue
			}
			if closed[p] || strings.HasPrefix(p, "golang.org/x/net/") && !strings.HasPrefix(p, "golang.org/x/net/html") {
				t.Errorf("%s imports %s", w[0], p)
			}
		}
	}
	if n < 20 {
		t.Fatalf("only %d packages", n)
	}
}
