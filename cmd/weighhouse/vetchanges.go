package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"github.com/spf13/cobra"

	"weighhouse/claims/listing"
	"weighhouse/measure/sheet"
	"weighhouse/templates/vetting"
)

// vetted reads a listing and vets it.
func vetted(c *cobra.Command, path, issued string) (*vetting.Vetting, *listing.Text, []byte, error) {
	raw, name, err := readListing(c, path)
	if err != nil {
		return nil, nil, nil, err
	}
	text, err := listing.Read(name, bytes.NewReader(raw))
	if err != nil {
		return nil, nil, nil, err
	}
	sum := sha256.Sum256(raw)
	return &vetting.Vetting{Report: listing.Vet(text), Issued: issued, Version: version,
		Input: sheet.Input{Path: name, Bytes: int64(len(raw)), SHA256: hex.EncodeToString(sum[:])}}, text, raw, nil
}

// vetChanges says what a newer capture of a listing changed, dropped and added, as text or as JSON.
func vetChanges(c *cobra.Command, older, newer string, f vetFlags) error {
	j, err := f.check()
	if err != nil {
		return err
	}
	if format := j.order[0]; len(j.order) > 1 || format != "text" && format != "json" || f.save != "" || f.failOn != "" {
		return errUsage{fmt.Errorf("vet OLD NEW: writes text or json, and takes no --save or --fail-on")}
	}
	if older == newer {
		return errUsage{fmt.Errorf("vet OLD NEW: %s is named twice; expected an older and a newer capture", older)}
	}
	was, _, _, err := vetted(c, older, j.issued)
	if err != nil {
		return err
	}
	now, _, _, err := vetted(c, newer, j.issued)
	if err != nil {
		return err
	}
	s := newScreen(c.OutOrStdout())
	write := func(o vetting.TextOptions) ([]byte, error) {
		var b bytes.Buffer
		if j.order[0] == "json" {
			err = vetting.WriteChangesJSON(&b, vetting.Compare(was, now))
		} else {
			err = vetting.WriteChanges(&b, vetting.Compare(was, now), o)
		}
		return b.Bytes(), err
	}
	if path := j.paths[j.order[0]]; path != "" {
		data, err := write(vetting.TextOptions{})
		if err != nil {
			return err
		}
		if err := writeMaking([]file{{path, data}}); err != nil {
			return err
		}
		fmt.Fprintln(c.OutOrStdout(), "written:", clean(path))
		return nil
	}
	data, err := write(vetting.TextOptions{Width: min(s.width, 100), Bold: s.styled})
	if err != nil {
		return err
	}
	_, err = s.Write(data)
	return err
}
