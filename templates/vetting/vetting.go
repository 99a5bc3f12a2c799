// Package vetting writes what was found in a seller's listing, a listing.Report, as text for a terminal, as JSON, as a PDF
// and as a page that needs nothing else.
//
// It computes no result: numbers are rounded for reading and stand unrounded in the JSON form. It says of no product that
// it is good or bad; it shows the listing's words, what was understood, what they leave open, and what follows from the
// listing's own numbers.
package vetting

import (
	"io"

	"weighhouse/claims/listing"
	"weighhouse/measure/sheet"
	"weighhouse/verdict"
)

// Format names the JSON form and its version.
const Format = "weighhouse-listing/1"

// Vetting is a report on a listing with what identifies the reading.
type Vetting struct {
	listing.Report
	Input   sheet.Input // the file that was read, its size and SHA-256
	Issued  string      // YYYY-MM-DD
	Version string      // of the program
}

// Open lists the findings that leave something open: all but those of words with a fixed meaning, see Fixed.
func (v *Vetting) Open() []listing.Found { return v.ofDefined(false) }

// Fixed lists the findings of class DEFINED: words that a standard or a limit gives a meaning, so that nothing is open but
// the evidence.
func (v *Vetting) Fixed() []listing.Found { return v.ofDefined(true) }

func (v *Vetting) ofDefined(want bool) (out []listing.Found) {
	for _, f := range v.Findings {
		if (f.Class == "DEFINED") == want {
			out = append(out, f)
		}
	}
	return out
}

// WriteJSON writes the vetting as JSON: format, tool, issued, input, and the report's lists. The same vetting gives the same
// bytes.
func WriteJSON(w io.Writer, v *Vetting) error {
	type tool struct {
		Version string `json:"version"`
	}
	data, err := verdict.PlainJSON(struct {
		Format string      `json:"format"`
		Tool   tool        `json:"tool"`
		Issued string      `json:"issued"`
		Input  sheet.Input `json:"input"`
		listing.Report
	}{Format, tool{v.Version}, v.Issued, v.Input, v.Report}, "  ")
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}
