package document

import (
	"crypto/md5"
	"fmt"
	"sort"
	"strings"
)

// Attachment is a file that a document carries.
type Attachment struct {
	Name         string // as a reader sees it
	MIME         string // "application/json"; "application/octet-stream" where empty
	Relationship string // Source, Data, Alternative, Supplement or Unspecified (ISO 32000-2, 7.11.3, /AFRelationship)
	Description  string
	Data         []byte
}

// embed writes the attachments and returns the catalog's entries for them.
func (d *Doc) embed(o *objects) string {
	if len(d.attachments) == 0 {
		return ""
	}
	as := append([]Attachment(nil), d.attachments...)
	sort.Slice(as, func(i, j int) bool { return as[i].Name < as[j].Name }) // a name tree is in order
	var names, files strings.Builder
	for _, a := range as {
		if a.MIME == "" {
			a.MIME = "application/octet-stream"
		}
		sum := md5.Sum(a.Data) // the format's own check sum (ISO 32000-1, table 46), no protection
		stream, spec := o.reserve(), o.reserve()
		o.stream(stream, fmt.Sprintf("/Type/EmbeddedFile/Subtype%s/Params<</Size %d/ModDate(%s)/CheckSum<%x>>>",
			name(a.MIME), len(a.Data), pdfDate(d.opt.Created), sum), a.Data)
		n := textString(a.Name)
		o.object(spec, fmt.Appendf(nil, "<</Type/Filespec/F%s/UF%s/Desc%s/AFRelationship/%s/EF<</F %d 0 R/UF %d 0 R>>>>",
			textString(strings.Map(ascii, a.Name)), n, textString(a.Description), a.Relationship, stream, stream))
		fmt.Fprintf(&names, "%s %d 0 R ", n, spec)
		fmt.Fprintf(&files, "%d 0 R ", spec)
	}
	return "/Names<</EmbeddedFiles<</Names[" + strings.TrimSpace(names.String()) + "]>>>>/AF[" + strings.TrimSpace(files.String()) + "]"
}

// ascii keeps a file name readable to old readers.
func ascii(r rune) rune {
	if r < 0x20 || r > 0x7e {
		return '_'
	}
	return r
}
