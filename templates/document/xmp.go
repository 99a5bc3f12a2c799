package document

import (
	"bytes"
	"encoding/xml"
	"time"
)

// xmp is the metadata packet (ISO 16684-1): title, author, description, language, program and dates.
func (d *Doc) xmp() []byte {
	var b bytes.Buffer
	put := func(s string) { b.WriteString(s) }
	esc := func(s string) { _ = xml.EscapeText(&b, []byte(s)) } // a bytes.Buffer does not fail
	put("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n")
	put(`<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/">` + "\n")
	put("<dc:format>application/pdf</dc:format>\n<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">")
	esc(d.opt.Title)
	put("</rdf:li></rdf:Alt></dc:title>\n")
	if d.opt.Author != "" {
		put("<dc:creator><rdf:Seq><rdf:li>")
		esc(d.opt.Author)
		put("</rdf:li></rdf:Seq></dc:creator>\n")
	}
	if d.opt.Subject != "" {
		put("<dc:description><rdf:Alt><rdf:li xml:lang=\"x-default\">")
		esc(d.opt.Subject)
		put("</rdf:li></rdf:Alt></dc:description>\n")
	}
	put("<dc:language><rdf:Bag><rdf:li>")
	esc(d.opt.Lang)
	put("</rdf:li></rdf:Bag></dc:language>\n")
	day := d.opt.Created.UTC().Format(time.RFC3339)
	put("<xmp:CreateDate>" + day + "</xmp:CreateDate><xmp:ModifyDate>" + day + "</xmp:ModifyDate>\n<xmp:CreatorTool>")
	esc(d.opt.Creator)
	put("</xmp:CreatorTool><pdf:Producer>")
	esc(d.opt.Creator)
	put("</pdf:Producer>\n</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return b.Bytes()
}
