package page

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"weighhouse/templates/internal/mossgate"
)

// axe-core is a general-purpose accessibility checker from the npm registry (licence MPL-2.0). It is no part of the project:
// .ci/run fetches this version, and the test takes it only as it was published.
const (
	axeVersion = "4.14.1"
	axeSHA256  = "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c" // of package/axe.min.js
)

// missing ends a test that needs what is not installed: skipped on a desk, failed in continuous integration.
func missing(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s is needed where CI=true", what)
	}
	t.Skipf("%s was not found: this check is left out", what)
}

// axeSource is the checker's script, from the file that AXE_CORE names or from the cache that .ci/run fills.
func axeSource(t *testing.T) string {
	t.Helper()
	path := os.Getenv("AXE_CORE")
	if path == "" {
		dir, err := os.UserCacheDir()
		if err != nil {
			missing(t, "a cache folder with axe-core")
		}
		path = filepath.Join(dir, "weighhouse-test", "axe-core-"+axeVersion, "axe.min.js")
	}
	b, err := os.ReadFile(path)
	if err != nil {
		missing(t, "axe-core "+axeVersion+" ("+path+"; AXE_CORE names another place; .ci/run fetches it)")
	}
	if sum := sha256.Sum256(b); hex.EncodeToString(sum[:]) != axeSHA256 {
		t.Fatalf("%s is not axe.min.js of axe-core %s as it was published", path, axeVersion)
	}
	return string(b)
}

// chromium runs the browser without a window, with a profile of its own, and gives what it prints.
func chromium(t *testing.T, args ...string) []byte {
	t.Helper()
	bin, err := exec.LookPath("chromium")
	if err != nil {
		missing(t, "chromium")
	}
	ctx, cancel := context.WithTimeout(t.Context(), 3*time.Minute)
	defer cancel()
	profile, err := os.MkdirTemp("", "weighhouse-chromium-")
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(profile)
	// --no-sandbox: continuous integration runs as root; the page is our own
	c := exec.CommandContext(ctx, bin, append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-extensions", "--disable-dev-shm-usage", "--user-data-dir=" + profile}, args...)...)
	var out, errs bytes.Buffer
	c.Stdout, c.Stderr = &out, &errs
	if err := c.Run(); err != nil {
		t.Fatalf("chromium: %v\n%.2000s", err, errs.String())
	}
	return out.Bytes()
}

// run is the checker's result for one page, as the test's script writes it.
type run struct {
	Width      int
	Dark       bool
	Overflow   int // how far the page is wider than its window, px
	Error      string
	Passes     int
	Violations []struct {
		ID, Impact, Help string
		Nodes            []struct {
			Target         []any
			HTML           string
			FailureSummary string
		}
	}
}

// axeScript runs the checker within the page and hands the result to the window around it.
const axeScript = `<script>
axe.run(document, {resultTypes: ["violations"]}).then(r => r, e => ({error: String(e)})).then(r => parent.postMessage(JSON.stringify({
  Width: innerWidth, Dark: matchMedia("(prefers-color-scheme: dark)").matches, Overflow: document.documentElement.scrollWidth - innerWidth,
  Error: r.error || "", Passes: r.error ? 0 : r.passes.length, Violations: r.violations || []}), "*"));
</script>`

// frame is the window around a page: the browser makes no window as narrow as a telephone, but a frame within one.
const frame = `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><meta name="color-scheme" content="light dark"><title>frame</title></head><body>
<pre id="axe-result"></pre>
<script>addEventListener("message", e => { if (e.data[0] === "{") document.getElementById("axe-result").textContent = e.data; });</script>
<iframe title="page" src="page.html" style="border:0;width:%dpx;height:900px"></iframe></body></html>`

// The page passes every rule of axe-core (WCAG 2.x A and AA and its best practices), on a telephone and on a desk, by light
// and by dark, with its foldable parts closed and open; and it is never wider than the window.
func TestAccessibility(t *testing.T) {
	axe := axeSource(t)
	if _, err := exec.LookPath("chromium"); err != nil {
		missing(t, "chromium")
	}
	plain := written(t, mossgate.Audit())
	// The copy under test may run the checker; the page itself may run nothing.
	i := strings.Index(plain, "<meta http-equiv=")
	plain = plain[:i] + plain[i+strings.Index(plain[i:], "\n")+1:]
	open := strings.ReplaceAll(plain, "<details>", "<details open>")
	for _, c := range []struct {
		name, page string
		width      int
		dark       bool
	}{{"light 360", open, 360, false}, {"light 1200", open, 1200, false}, {"dark 360", open, 360, true}, {"dark 1200", open, 1200, true}, {"closed 768", plain, 768, false}} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			f := filepath.Join(dir, "frame.html")
			page := strings.Replace(c.page, "</body>", "<script>"+axe+"</script>\n"+axeScript+"</body>", 1)
			if err := os.WriteFile(filepath.Join(dir, "page.html"), []byte(page), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(f, fmt.Appendf(nil, frame, c.width), 0o600); err != nil {
				t.Fatal(err)
			}
			scheme := "--blink-settings=preferredColorScheme=1"
			if c.dark {
				scheme = "--blink-settings=preferredColorScheme=0"
			}
			dom := chromium(t, scheme, "--hide-scrollbars", "--window-size=1300,1000", "--virtual-time-budget=60000", "--dump-dom", "file://"+f)
			r := result(t, dom)
			if r.Error != "" || r.Width != c.width || r.Dark != c.dark || r.Passes < 20 {
				t.Fatalf("the check did not run as meant: width %d, dark %v, %d rules passed, %s", r.Width, r.Dark, r.Passes, r.Error)
			}
			if r.Overflow > 0 {
				t.Errorf("the page is %d px wider than its window", r.Overflow)
			}
			for _, v := range r.Violations {
				for k, n := range v.Nodes {
					if k < 3 {
						t.Errorf("%s (%s): %s\n%.300s\n%s", v.ID, v.Impact, v.Help, n.HTML, n.FailureSummary)
					}
				}
			}
		})
	}
}

// result reads what the test's script wrote into the page.
func result(t *testing.T, dom []byte) run {
	t.Helper()
	root, err := html.Parse(bytes.NewReader(dom))
	if err != nil {
		t.Fatal(err)
	}
	var r run
	found := false
	each(root, func(n *html.Node) {
		if n.Type == html.ElementNode && attr(n, "id") == "axe-result" && n.FirstChild != nil {
			found = true
			if err := json.Unmarshal([]byte(n.FirstChild.Data), &r); err != nil {
				t.Fatal(err)
			}
		}
	})
	if !found {
		t.Fatalf("the checker wrote no result; the page is %d bytes", len(dom))
	}
	return r
}

// On paper the folded parts stand open: no number that a reader needs to recompute a result is lost.
func TestPrint(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		missing(t, "pdftotext")
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "page.html"), filepath.Join(dir, "page.pdf")
	if err := os.WriteFile(in, []byte(written(t, mossgate.Audit())), 0o600); err != nil {
		t.Fatal(err)
	}
	chromium(t, "--no-pdf-header-footer", "--print-to-pdf="+out, "file://"+in)
	b, err := exec.Command("pdftotext", "-layout", out, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(string(b)), " ")
	for _, want := range []string{"Budget of M1", "scatter of the runs", "Runs and readings of M1", "page 1 of ", "End of report"} {
		if !strings.Contains(text, want) {
			t.Errorf("the print does not hold %q", want)
		}
	}
	if strings.Contains(text, "Skip to the answer") {
		t.Error("the print shows the skip link")
	}
}
