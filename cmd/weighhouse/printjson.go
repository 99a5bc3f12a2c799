package main

import (
	"io"

	"weighhouse/verdict"
)

// printJSON writes a value as JSON to where people and other programs read, indented unless indent is "". Nothing in it
// steers a terminal.
func printJSON(w io.Writer, v any, indent string) error {
	data, err := verdict.PlainJSON(v, indent)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}
