package main

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// writeLongBook writes a case whose lab book is a workbook with a log of n readings and four columns in a sheet of its
// own, as writeLong does of CSV: seconds of an hour where whole is set, dates of a reading a second otherwise. The sheet is
// packed as it is made, so that this process stays small: a process begins with the resident memory of the one that
// starts it.
func writeLongBook(dir string, n int, whole bool) error {
	files := caseFiles(0, 720)
	delete(files, "logs/on-1.csv")
	decay := strings.Replace(files["lab/decay.csv"], "logs/on-1.csv", "run on 1", 1)
	if !whole {
		decay = strings.Replace(decay, "background ±,", "background ±,from,to,", 1)
		decay = strings.ReplaceAll(decay, "0.6,pm", "0.6,,,pm")
		decay = strings.Replace(decay, "run on 1,time,pm2.5,4,0.6,,,", "run on 1,time,pm2.5,4,0.6,2026-05-04 10:02:00,2026-05-04 10:22:00,", 1)
	}
	files["lab/decay.csv"] = decay
	x := excelize.NewFile()
	defer x.Close()
	x.SetSheetName("Sheet1", "run on 1")
	style, err := x.NewStyle(&excelize.Style{NumFmt: 22})
	if err != nil {
		return err
	}
	for name, text := range files {
		table, ofLab := strings.CutPrefix(name, "lab/")
		if !ofLab {
			p := filepath.Join(dir, filepath.FromSlash(name))
			if err := os.MkdirAll(filepath.Dir(p), 0o755); err != nil {
				return err
			}
			if err := os.WriteFile(p, []byte(text), 0o644); err != nil {
				return err
			}
			continue
		}
		table = strings.TrimSuffix(table, ".csv")
		if _, err := x.NewSheet(table); err != nil {
			return err
		}
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil {
			return err
		}
		for i, row := range rows {
			if err := x.SetSheetRow(table, fmt.Sprintf("A%d", i+1), &row); err != nil {
				return err
			}
		}
	}
	small, err := x.WriteToBuffer()
	if err != nil {
		return err
	}
	in, err := zip.NewReader(bytes.NewReader(small.Bytes()), int64(small.Len()))
	if err != nil {
		return err
	}
	f, err := os.Create(filepath.Join(dir, "lab.xlsx"))
	if err != nil {
		return err
	}
	z := zip.NewWriter(f)
	for _, part := range in.File {
		if part.Name != "xl/worksheets/sheet1.xml" {
			if err := z.Copy(part); err != nil {
				return err
			}
			continue
		}
		w, err := z.Create(part.Name)
		if err != nil {
			return err
		}
		if err := writeLongSheet(w, n, whole, style); err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	return f.Close()
}

func writeLongSheet(to io.Writer, n int, whole bool, dateStyle int) error {
	w := bufio.NewWriter(to)
	head := "time"
	if whole {
		head = "time [s]"
	}
	w.WriteString(`<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1">`)
	for i, name := range []string{head, "pm1", "pm2.5", "humidity"} {
		fmt.Fprintf(w, `<c r="%c1" t="inlineStr"><is><t>%s</t></is></c>`, 'A'+i, name)
	}
	w.WriteString("</row>")
	for k := range n {
		h := float64(k) / float64(n)
		time := fmt.Sprintf(`<c r="A%d"><v>%.5f</v></c>`, k+2, h*3600)
		if !whole {
			h = float64(k%3600) / 3600
			const start = 46146.375 // 2026-05-04 09:00
			time = fmt.Sprintf(`<c r="A%d" s="%d"><v>%.10f</v></c>`, k+2, dateStyle, start+float64(k)/86400)
		}
		c := 4 + 400*math.Exp(-6*h)*(1+0.01*math.Sin(float64(k)*1.7))
		fmt.Fprintf(w, `<row r="%d">%s<c r="B%d"><v>%.1f</v></c><c r="C%d"><v>%.2f</v></c><c r="D%d"><v>%d</v></c></row>`, k+2, time, k+2, c/2, k+2, c, k+2, 40+k%9)
	}
	w.WriteString("</sheetData></worksheet>")
	return w.Flush()
}

// BenchmarkLongSheet is a case with a log of a million rows and four columns in a sheet of its lab book, to PDF and JSON.
// measure/sheet has the benchmark of reading such a sheet beside excelize.
func BenchmarkLongSheet(b *testing.B) {
	exe := program(b)
	for _, kind := range []string{"whole", "window"} {
		for _, n := range []int{10_000, 100_000, 1_000_000} {
			b.Run(fmt.Sprintf("decay=%s/rows=%d", kind, n), func(b *testing.B) {
				dir := b.TempDir()
				if err := writeLongBook(dir, n, kind == "whole"); err != nil {
					b.Fatal(err)
				}
				var c cost
				for b.Loop() {
					c.least(spend(b, exe, nil, "audit", "--date", "2026-08-03", "--out", b.TempDir(), dir))
				}
				c.report(b, 1)
			})
		}
	}
}
