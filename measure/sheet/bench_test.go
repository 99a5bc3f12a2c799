package sheet

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// benchCSV writes a log of n rows and four columns, as a particle counter does every second.
func benchCSV(n int) []byte {
	var b bytes.Buffer
	b.WriteString("time,pm1 (ug/m3),pm2.5 (ug/m3),humidity (%)\n")
	at := time.Date(2026, 5, 4, 14, 0, 0, 0, time.UTC)
	for i := range n {
		fmt.Fprintf(&b, "%s,%.1f,%.2f,%d\n", at.Add(time.Duration(i)*time.Second).Format("2006-01-02 15:04:05"), float64(i%977)/7, 500-float64(i%4999)/11, 40+i%9)
	}
	return b.Bytes()
}

func benchFolder(b *testing.B, name string, data []byte) *Folder {
	b.Helper()
	dir := b.TempDir()
	if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
		b.Fatal(err)
	}
	f, err := OpenFolder(dir)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { f.Close() })
	return f
}

func BenchmarkLogCSV(b *testing.B) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		data := benchCSV(n)
		f := benchFolder(b, "log.csv", data)
		b.Run(fmt.Sprintf("rows=%d/reader=ours", n), func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				got, ps := f.Logs(nil, []LogRequest{{Path: "log.csv", Value: "pm2.5"}})
				if got[0] == nil || len(got[0].T) != n {
					b.Fatal(ps)
				}
			}
		})
		b.Run(fmt.Sprintf("rows=%d/reader=encoding-csv", n), func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			for b.Loop() {
				file, err := os.Open(filepath.Join(f.root.Name(), "log.csv"))
				if err != nil {
					b.Fatal(err)
				}
				r := csv.NewReader(file)
				r.ReuseRecord = true
				rows := 0
				for {
					rec, err := r.Read()
					if err == io.EOF {
						break
					}
					if rows++; rows > 1 {
						if _, err := strconv.ParseFloat(rec[2], 64); err != nil {
							b.Fatal(err)
						}
					}
				}
				file.Close()
			}
		})
	}
}

// benchXLSX makes a case whose lab workbook has one log sheet.
func benchXLSX(b *testing.B, n int) *Folder {
	b.Helper()
	x := excelize.NewFile()
	defer x.Close()
	x.SetSheetName("Sheet1", "run 1")
	style, err := x.NewStyle(&excelize.Style{NumFmt: 22})
	if err != nil {
		b.Fatal(err)
	}
	w, err := x.NewStreamWriter("run 1")
	if err != nil {
		b.Fatal(err)
	}
	w.SetRow("A1", []any{"time", "pm1 (ug/m3)", "pm2.5 (ug/m3)", "humidity (%)"})
	for i := range n {
		cell := "A" + strconv.Itoa(i+2)
		if err := w.SetRow(cell, []any{excelize.Cell{StyleID: style, Value: 46146 + float64(i)/86400}, float64(i%977) / 7, 500 - float64(i%4999)/11, 40 + i%9}); err != nil {
			b.Fatal(err)
		}
	}
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
	dir := b.TempDir()
	if err := x.SaveAs(filepath.Join(dir, "lab.xlsx")); err != nil {
		b.Fatal(err)
	}
	f, err := OpenFolder(dir)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { f.Close() })
	return f
}

// BenchmarkLogXLSX reads a log sheet of four columns, dates in the first, beside excelize's Rows with raw and with
// formatted values. Of a million rows the last takes more than a minute and gigabytes; -bench 'LogXLSX/.*/(ours|raw)' leaves
// it out.
func BenchmarkLogXLSX(b *testing.B) {
	for _, n := range []int{100_000, 1_000_000} {
		b.Run(fmt.Sprintf("rows=%d", n), func(b *testing.B) {
			f := benchXLSX(b, n)
			b.Run("reader=ours", func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					lab, err := f.Book("lab")
					if err != nil {
						b.Fatal(err)
					}
					got, ps := f.Logs(lab, []LogRequest{{Path: "run 1", Value: "pm2.5"}})
					if got[0] == nil || len(got[0].T) != n {
						b.Fatal(ps)
					}
				}
			})
			for _, kind := range []string{"raw", "formatted"} {
				b.Run("reader=excelize-"+kind, func(b *testing.B) {
					b.ReportAllocs()
					for b.Loop() {
						if got := readByExcelize(b, filepath.Join(f.root.Name(), "lab.xlsx"), kind == "raw"); got != n+1 {
							b.Fatal(got)
						}
					}
				})
			}
		})
	}
}

// readByExcelize counts the rows of a sheet and has the text of every cell made.
func readByExcelize(b *testing.B, path string, raw bool) (count int) {
	b.Helper()
	x, err := excelize.OpenFile(path, excelize.Options{RawCellValue: raw})
	if err != nil {
		b.Fatal(err)
	}
	defer x.Close()
	rows, err := x.Rows("run 1")
	if err != nil {
		b.Fatal(err)
	}
	for rows.Next() {
		if _, err := rows.Columns(); err != nil {
			b.Fatal(err)
		}
		count++
	}
	return count
}
