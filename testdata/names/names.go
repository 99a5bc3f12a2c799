package main

import (
	"archive/zip"
	"encoding/csv"
	"fmt"
	"html"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"unicode/utf16"
)

// texts are the folders below testdata whose files hold names.
var texts = []string{"listings", "strangers", "demo", "demo-csv", "rank"}

var (
	tag    = regexp.MustCompile(`<[^>]*>`)
	word   = regexp.MustCompile(`\p{L}{3,}`)
	number = regexp.MustCompile(`(?i)(?:tel|phone|telefon|call)\w*[^\d\n]{0,12}([+\d][\d ()/-]{5,})`)
	host   = regexp.MustCompile(`(?i)(?:[a-z]+://|@)([a-z0-9.-]+\.[a-z]{2,})`)
)

// Names returns the list: the heads of the invented listings (maker and model), the fields of the demo books that name
// somebody, words that stand with a capital and nowhere in the project without one, telephone numbers, hosts, and what
// the committed workbooks say of their maker. The module's root is root.
func Names(root string) (string, error) {
	read, err := readTexts(filepath.Join(root, "testdata"))
	if err != nil {
		return "", err
	}
	common, err := commonWords(root, read)
	if err != nil {
		return "", err
	}
	var b strings.Builder
	section(&b, "heads of listings: maker, model", heads(read))
	section(&b, "fields of the demo's books", fields(read))
	section(&b, "words with a capital that stand nowhere without one", capitals(read, common))
	section(&b, "telephone numbers", matches(read, number))
	section(&b, "hosts", matches(read, host))
	made, err := workbooks(filepath.Join(root, "testdata"))
	section(&b, "what committed workbooks say of their maker", made)
	return b.String(), err
}

func section(b *strings.Builder, head string, lines []string) {
	slices.Sort(lines)
	fmt.Fprintf(b, "# %s\n%s\n\n", head, strings.Join(slices.Compact(lines), "\n"))
}

// readTexts reads every text of the folders, by its path below testdata; of pages what is seen.
func readTexts(root string) (map[string]string, error) {
	out := map[string]string{}
	for _, dir := range texts {
		err := filepath.WalkDir(filepath.Join(root, dir), func(p string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || filepath.Ext(p) == ".xlsx" || strings.HasPrefix(d.Name(), "audit.") || strings.HasPrefix(d.Name(), "findings") ||
				strings.Contains(filepath.ToSlash(p), "/logs/") {
				return err
			}
			data, err := os.ReadFile(p)
			if err != nil {
				return err
			}
			text := string(data)
			if len(data) > 1 && data[0] == 0xFF && data[1] == 0xFE {
				var u []uint16
				for i := 2; i+1 < len(data); i += 2 {
					u = append(u, uint16(data[i])|uint16(data[i+1])<<8)
				}
				text = string(utf16.Decode(u))
			}
			if filepath.Ext(p) == ".html" {
				text = html.UnescapeString(tag.ReplaceAllString(text, " "))
			}
			name, err := filepath.Rel(root, p)
			out[filepath.ToSlash(name)] = text
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// commonWords are the words that stand in small letters anywhere: in the texts, the tables, the code, the documents.
func commonWords(root string, read map[string]string) (map[string]bool, error) {
	out := map[string]bool{}
	add := func(text string) {
		for _, w := range word.FindAllString(text, -1) {
			if w == strings.ToLower(w) {
				out[w] = true
			}
		}
	}
	for _, t := range read {
		add(t)
	}
	return out, filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		slash := filepath.ToSlash(p)
		if d.IsDir() {
			if d.Name() == ".git" || strings.HasSuffix(slash, "testdata/names") || strings.HasSuffix(slash, "testdata/broken") {
				return filepath.SkipDir
			}
			return nil
		}
		switch filepath.Ext(p) {
		case ".go", ".md", ".tmpl":
		case ".csv":
			if strings.Contains(slash, "testdata/") && d.Name() != "findings.csv" {
				return nil
			}
		default:
			return nil
		}
		data, err := os.ReadFile(p)
		add(string(data))
		return err
	})
}

// heads are the first lines of the listings, where the maker and the model stand.
func heads(read map[string]string) (out []string) {
	for name, text := range read {
		if !strings.HasPrefix(name, "listings/") && !strings.HasPrefix(name, "strangers/") || filepath.Ext(name) == ".csv" {
			continue
		}
		for line := range strings.Lines(text) {
			if line = strings.Join(strings.Fields(line), " "); line != "" {
				if r := []rune(line); len(r) > 90 {
					line = string(r[:90]) + " …"
				}
				out = append(out, name+": "+line)
				break
			}
		}
	}
	return out
}

// fields are the rows of the demo's product and test tables.
func fields(read map[string]string) (out []string) {
	for name, text := range read {
		if !strings.HasSuffix(name, "spec/product.csv") && !strings.HasSuffix(name, "lab/test.csv") {
			continue
		}
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil {
			continue
		}
		for _, r := range rows {
			if len(r) > 1 && slices.Contains([]string{"maker", "model", "variant", "listing", "tester", "name", "address", "contact", "sample"}, r[0]) {
				out = append(out, name+": "+r[0]+": "+r[1])
			}
		}
	}
	return out
}

func capitals(read map[string]string, common map[string]bool) (out []string) {
	first := map[string]string{}
	for name, text := range read {
		for _, w := range word.FindAllString(text, -1) {
			low := strings.ToLower(w)
			if w == low || common[low] {
				continue
			}
			if at, ok := first[low]; !ok || name < at {
				first[low] = name
			}
		}
	}
	for w, at := range first {
		r := []rune(w)
		out = append(out, strings.ToUpper(string(r[:1]))+string(r[1:])+" ("+at+")")
	}
	return out
}

func matches(read map[string]string, rx *regexp.Regexp) (out []string) {
	for name, text := range read {
		for _, m := range rx.FindAllStringSubmatch(text, -1) {
			out = append(out, strings.TrimSpace(m[1])+" ("+name+")")
		}
	}
	return out
}

// workbooks are the words of docProps and the face of every workbook below a folder.
func workbooks(root string) (out []string, err error) {
	said := regexp.MustCompile(`<(?:dc:)?(creator|lastModifiedBy|Application|Company|Manager|title|description|language)>([^<]*)<`)
	err = filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(p) != ".xlsx" || strings.Contains(filepath.ToSlash(p), "/broken/") {
			return err
		}
		parts, err := Parts(p)
		for _, part := range []string{"docProps/core.xml", "docProps/app.xml"} {
			for _, m := range said.FindAllStringSubmatch(parts[part], -1) {
				out = append(out, m[1]+": "+m[2])
			}
		}
		return err
	})
	return out, err
}

// Parts reads the parts of a workbook that say who made it: xl/workbook.xml, docProps, the theme, the styles.
func Parts(path string) (map[string]string, error) {
	z, err := zip.OpenReader(path)
	if err != nil {
		return nil, err
	}
	defer z.Close()
	out := map[string]string{}
	for _, f := range z.File {
		if f.Name != "xl/workbook.xml" && f.Name != "xl/styles.xml" && !strings.HasPrefix(f.Name, "docProps/") && !strings.HasPrefix(f.Name, "xl/theme/") {
			continue
		}
		r, err := f.Open()
		if err != nil {
			return nil, err
		}
		data, err := io.ReadAll(r)
		r.Close()
		if err != nil {
			return nil, err
		}
		out[f.Name] = string(data)
	}
	return out, nil
}
