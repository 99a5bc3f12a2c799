package main

import (
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// root is the module's folder, where the page is built.
const root = "../.."

// missing ends a test that needs what is not installed: skipped on a desk, failed in continuous integration.
func missing(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is needed where CI=true", what)
	}
	t.Skipf("%s was not found: this check is left out", what)
}

// A packed program holds no character that could end or open an element, and few more than its compressed bytes need. That
// the page's own code undoes it is what the tests in the browser show.
func TestPack(t *testing.T) {
	seen := map[rune]bool{}
	for _, r := range alphabet {
		if seen[r] || r == '<' || r == '\r' || r == '\n' || r == 0 || r > '~' {
			t.Errorf("alphabet: %q", r)
		}
		seen[r] = true
	}
	if len(seen) != 102 {
		t.Errorf("%d characters", len(seen))
	}
	packed, err := pack([]byte(strings.Repeat("a program ", 1000)))
	if err != nil {
		t.Fatal(err)
	}
	if len(packed) > 300 || strings.ContainsAny(packed, "<\r\n\x00") {
		t.Errorf("packed: %d characters %q", len(packed), packed)
	}
}

// tab builds the page and opens it in a browser. requests lists every request but those for the page itself and for what
// it made in memory.
func tab(t *testing.T) (ctx context.Context, requests func() []string) {
	t.Helper()
	if testing.Short() {
		t.Skip("builds the whole program for a browser")
	}
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		missing(t, "chromium")
	}
	page := filepath.Join(t.TempDir(), "desk.html")
	t.Chdir(root)
	if err := build(page, filepath.Join("testdata", "demo")); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(page); err != nil || info.Size() > 9_000_000 {
		t.Errorf("the page: %v, %d bytes, more than 9 MB", err, info.Size())
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium), chromedp.NoSandbox, chromedp.Flag("disable-quic", true),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.WSURLReadTimeout(2*time.Minute))
	actx, end := chromedp.NewExecAllocator(t.Context(), opts...)
	t.Cleanup(end)
	ctx, end = chromedp.NewContext(actx)
	t.Cleanup(end)
	ctx, end = context.WithTimeout(ctx, 8*time.Minute)
	t.Cleanup(end)
	var mu sync.Mutex
	var seen []string
	chromedp.ListenTarget(ctx, func(ev any) {
		if e, ok := ev.(*network.EventRequestWillBeSent); ok && !strings.HasPrefix(e.Request.URL, "file://"+page) && !strings.HasPrefix(e.Request.URL, "blob:") && !strings.HasPrefix(e.Request.URL, "about:") {
			mu.Lock()
			seen = append(seen, e.Request.URL)
			mu.Unlock()
		}
	})
	if err := chromedp.Run(ctx, network.Enable(), chromedp.Navigate("file://"+page), chromedp.WaitVisible("#do-vet", chromedp.ByQuery)); err != nil {
		t.Fatal(err)
	}
	return ctx, func() []string {
		mu.Lock()
		defer mu.Unlock()
		return append([]string(nil), seen...)
	}
}

// answer is what weighhouse(args, files) gives, its files in base64.
type answer struct {
	Code           int
	Stdout, Stderr string
	Files          map[string]string
}

// awaited waits for a promise.
func awaited(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }

const call = `(async () => {
	const given = %s, files = {};
	for (const [p, d] of Object.entries(given)) files[p] = Uint8Array.from(atob(d), c => c.charCodeAt(0));
	const got = await weighhouse(%s, files), out = {};
	for (const [p, d] of Object.entries(got.files)) { let s = ""; for (let i = 0; i < d.length; i += 8192) s += String.fromCharCode(...d.subarray(i, i + 8192)); out[p] = btoa(s); }
	return JSON.stringify({Code: got.code, Stdout: got.stdout, Stderr: got.stderr, Files: out});
})()`

// inPage runs a command in the page on the files of a folder, which stand in the folder "case" there.
func inPage(t *testing.T, ctx context.Context, dir string, args ...string) answer {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		rel, _ := filepath.Rel(dir, p)
		data, err := os.ReadFile(p)
		files["case/"+filepath.ToSlash(rel)] = base64.StdEncoding.EncodeToString(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	f, _ := json.Marshal(files)
	a, _ := json.Marshal(args)
	var text string
	var out answer
	if err := chromedp.Run(ctx, chromedp.Evaluate(fmt.Sprintf(call, f, a), &text, awaited)); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(text), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

// The page gives what the program gives: the same exit status, words and files, for the demo and for cases that must fail;
// and nothing asks the network for anything.
func TestSameAsProgram(t *testing.T) {
	ctx, requests := tab(t)
	exe := filepath.Join(t.TempDir(), "weighhouse")
	if text, err := exec.Command("go", "build", "-o", exe, "./cmd/weighhouse").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	cases := []string{filepath.Join("testdata", "demo"), filepath.Join("testdata", "demo-csv")}
	broken, err := filepath.Glob(filepath.Join("testdata", "broken", "*", "spec*"))
	if err != nil || len(broken) < 50 {
		t.Fatalf("%d broken cases: %v", len(broken), err)
	}
	const seed = 21
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	r.Shuffle(len(broken), func(i, j int) { broken[i], broken[j] = broken[j], broken[i] })
	for _, b := range broken[:50] {
		cases = append(cases, filepath.Dir(b))
	}
	for _, dir := range cases {
		work := filepath.Join(t.TempDir(), "case")
		if err := os.CopyFS(work, os.DirFS(dir)); err != nil {
			continue // a link or a device, which a page's files cannot be
		}
		got := inPage(t, ctx, work, "audit", "case", "--format", "json,html,xlsx", "--date", "2026-08-03")
		cmd := exec.Command(exe, "audit", "case", "--format", "json,html,xlsx", "--date", "2026-08-03")
		cmd.Dir = filepath.Dir(work)
		cmd.Env = append(os.Environ(), "NO_COLOR=1")
		var stdout, stderr strings.Builder
		cmd.Stdout, cmd.Stderr = &stdout, &stderr
		code := 0
		if err := cmd.Run(); err != nil {
			code = cmd.ProcessState.ExitCode()
		}
		if got.Code != code || got.Stderr != stderr.String() {
			t.Errorf("%s: exit %d and %q in the page, %d and %q outside", dir, got.Code, got.Stderr, code, stderr.String())
			continue
		}
		for _, name := range []string{"audit.json", "audit.html", "audit.xlsx"} {
			want, err := os.ReadFile(filepath.Join(work, name))
			data, there := got.Files["case/"+name]
			if there != (err == nil) {
				t.Errorf("%s: %s: in the page %v, outside %v", dir, name, there, err)
			}
			if name == "audit.json" && there { // machine kinds differ in the last digits of some numbers
				raw, _ := base64.StdEncoding.DecodeString(data)
				sameNumbers(t, dir, raw, want)
			}
		}
	}
	if seen := requests(); len(seen) > 0 {
		t.Errorf("the page asked for %v", seen)
	}
}

// sameNumbers compares two audits: texts exactly, but for the machine kind, numbers to 1e-9.
func sameNumbers(t *testing.T, name string, a, b []byte) {
	t.Helper()
	var x, y any
	if err := json.Unmarshal(a, &x); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(b, &y); err != nil {
		t.Fatal(err)
	}
	var walk func(path string, x, y any)
	walk = func(path string, x, y any) {
		switch x := x.(type) {
		case map[string]any:
			m, _ := y.(map[string]any)
			for k := range x {
				if k != "machine" && path+"."+k != ".tool.machine" {
					walk(path+"."+k, x[k], m[k])
				}
			}
		case []any:
			l, _ := y.([]any)
			if len(l) != len(x) {
				t.Errorf("%s%s: %d and %d entries", name, path, len(x), len(l))
				return
			}
			for i := range x {
				walk(fmt.Sprintf("%s[%d]", path, i), x[i], l[i])
			}
		case float64:
			if f, ok := y.(float64); !ok || f != x && !(abs(f-x) <= 1e-9*abs(x)) {
				t.Errorf("%s%s: %v and %v", name, path, x, y)
			}
		default:
			if x != y {
				t.Errorf("%s%s: %v and %v", name, path, x, y)
			}
		}
	}
	walk("", x, y)
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

// A person's way: the demo of each door, by clicks.
func TestDoors(t *testing.T) {
	ctx, requests := tab(t)
	step := func(name string, actions ...chromedp.Action) {
		t.Helper()
		if err := chromedp.Run(ctx, actions...); err != nil {
			var said string
			_ = chromedp.Run(ctx, chromedp.Text("body", &said, chromedp.ByQuery))
			t.Fatalf("%s: %v\n%s", name, err, said)
		}
	}
	done := chromedp.Poll(`["Done.", "Done; what was asked for was found."].includes(document.getElementById("state").textContent)`, nil, chromedp.WithPollingTimeout(3*time.Minute))
	var said, files string
	fresh := chromedp.Evaluate(`document.getElementById("state").textContent = ""`, nil)
	step("listing", fresh, chromedp.SetValue("#words", "Quiet unit. Delivers 300 m³/h at the highest setting. HEPA-type filter.", chromedp.ByQuery), chromedp.Click("#do-vet", chromedp.ByQuery), done,
		chromedp.Text("#outputs", &files, chromedp.ByQuery), chromedp.Evaluate(`document.getElementById("view").srcdoc`, &said))
	if !strings.Contains(said, "HEPA-type") || !strings.Contains(files, ".pdf") {
		t.Errorf("listing: files %q, page of %d characters", files, len(said))
	}
	step("demo", fresh, chromedp.Click("#demo-audit", chromedp.ByQuery), done, chromedp.Text("#terminal", &said, chromedp.ByQuery), chromedp.Text("#outputs", &files, chromedp.ByQuery))
	for _, w := range []string{"audit.pdf", "audit.json", "audit.html", "audit.xlsx"} {
		if !strings.Contains(files, w) {
			t.Errorf("demo: %s is missing in %q", w, files)
		}
	}
	if !strings.Contains(said, "supported") {
		t.Errorf("demo: %q", said)
	}
	step("forms", fresh, chromedp.Click("#do-forms", chromedp.ByQuery), done, chromedp.Text("#outputs", &files, chromedp.ByQuery))
	if !strings.Contains(files, "spec.xlsx") {
		t.Errorf("forms: %q", files)
	}
	if seen := requests(); len(seen) > 0 {
		t.Errorf("the page asked for %v", seen)
	}
}
