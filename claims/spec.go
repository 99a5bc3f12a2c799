package claims

import (
	"fmt"
	"sort"
	"strings"

	"weighhouse/measure"
	"weighhouse/measure/sheet"
)

type fieldRow struct {
	At    sheet.RowPlace `csv:"@row"`
	Field sheet.Text     `csv:"field"`
	Value sheet.Text     `csv:"value"`
}

type claimRow struct {
	At        sheet.RowPlace `csv:"@row"`
	ID        sheet.Text     `csv:"id"`
	Attribute sheet.Text     `csv:"attribute"`
	Value     sheet.Span     `csv:"value"`
	Unit      sheet.Text     `csv:"unit"`
	Bound     sheet.Text     `csv:"bound"`
	Setting   sheet.Text     `csv:"setting"`
	Particle  sheet.Text     `csv:"particle"`
	Basis     sheet.Text     `csv:"basis"`
	Wording   sheet.Text     `csv:"wording"`
	Source    sheet.Text     `csv:"source"`
	Captured  sheet.Date     `csv:"captured"`
	Evidence  sheet.Text     `csv:"evidence"`
}

type replyRow struct {
	At       sheet.RowPlace `csv:"@row"`
	Sent     sheet.Date     `csv:"sent"`
	Channel  sheet.Text     `csv:"channel"`
	Deadline sheet.Date     `csv:"deadline"`
	Received sheet.Date     `csv:"received"`
	Text     sheet.Text     `csv:"text"`
}

// Read reads a spec book: its product, claims and reply tables. All that is wrong is reported together, each with its
// place; the Spec is only good when there are no problems.
func Read(b *sheet.Book) (*Spec, sheet.Problems) {
	s := &Spec{}
	var ps sheet.Problems
	known := map[string]bool{"product": true, "claims": true, "reply": true, "read me": true, "readme": true}
	for _, name := range b.Tables() {
		if !known[measure.Fold(name)] {
			s.Notes = append(s.Notes, sheet.Note{Place: b.Table(name).Place, Text: fmt.Sprintf("table %q is not one of product, claims, reply; it was not used", name), Lost: sheet.LostTable})
		}
	}
	if t := b.Table("product"); t != nil {
		s.product(t, &ps)
	} else {
		s.Notes = append(s.Notes, sheet.Note{Place: sheet.Place{Book: b.Name()}, Text: "there is no product table; the report cannot name the product"})
	}
	if t := b.Table("claims"); t == nil {
		ps.Add(sheet.Place{Book: b.Name()}, "the columns are attribute, value, unit, bound, setting, particle, basis, wording, source, captured, evidence",
			"there is no claims table; found %s", list(b.Tables()))
	} else {
		s.claims(t, &ps)
	}
	if t := b.Table("reply"); t != nil {
		rows, notes, more := sheet.Decode[replyRow](t)
		s.Notes, ps = append(s.Notes, notes...), append(ps, more...)
		for _, r := range rows {
			x := Reply{Sent: r.Sent.ISO, Channel: r.Channel.Value, Deadline: r.Deadline.ISO, Received: r.Received.ISO, Text: r.Text.Value, SentAt: r.Sent.Place, ReceivedAt: r.Received.Place}
			x.inOrder(&ps, r)
			s.Replies = append(s.Replies, x)
		}
	}
	s.Notes = append(s.Notes, b.Notes()...)
	return s, ps
}

func (s *Spec) product(t *sheet.Table, ps *sheet.Problems) {
	rows, notes, more := sheet.Decode[fieldRow](t, "field", "value")
	s.Notes, *ps = append(s.Notes, notes...), append(*ps, more...)
	to := map[string]*string{"maker": &s.Product.Maker, "model": &s.Product.Model, "variant": &s.Product.Variant,
		"region": &s.Product.Region, "price": &s.Product.Price, "currency": &s.Product.Currency, "listing": &s.Product.Listing}
	seen := map[string]sheet.Place{}
	for _, r := range rows {
		key := sheet.FoldName(r.Field.Value)
		if key == "" {
			continue
		}
		dst, ok := to[key]
		if !ok {
			s.Notes = append(s.Notes, sheet.Note{Place: r.Field.Place, Text: fmt.Sprintf("field %q is not one of maker, model, variant, region, price, currency, listing; it was not used", r.Field.Value), Lost: sheet.LostRow})
			continue
		}
		if first, dup := seen[key]; dup && *dst != r.Value.Value {
			ps.Add(r.Field.Place, "", "field %q stands here as %q and at %s as %q; keep one", r.Field.Value, r.Value.Value, first, *dst)
			continue
		}
		seen[key], *dst = r.Field.Place, r.Value.Value
	}
}

func (s *Spec) claims(t *sheet.Table, ps *sheet.Problems) {
	rows, notes, more := sheet.Decode[claimRow](t, "attribute")
	s.Notes, *ps = append(s.Notes, notes...), append(*ps, more...)
	n := 0
	ids := map[string]sheet.Place{}
	s.CaptureAt = map[string]sheet.Place{}
	for _, r := range rows {
		n++
		c := r.claim(fmt.Sprintf("C%d", n), ps)
		c.OtherModel = otherModel(s.Product.Model, c)
		if first, dup := ids[c.ID]; dup {
			ps.Add(r.ID.Place, "", "id %q stands at %s too; give each claim its own", c.ID, first)
		}
		ids[c.ID] = r.At.Place
		if _, named := s.CaptureAt[c.Evidence]; c.Evidence != "" && !named {
			s.CaptureAt[c.Evidence] = r.Evidence.Place
		}
		s.Claims = append(s.Claims, c)
	}
	if n == 0 && len(*ps) == 0 && !t.Faulty() {
		ps.Add(t.Place, "write one row a claim, with the attribute at least", "the claims table holds no claim")
		for _, f := range []struct{ name, value string }{{"maker", s.Product.Maker}, {"model", s.Product.Model}} {
			if f.value == "" {
				ps.Add(productPlace(t.Place), "", "field %s of the product table is blank; a report names the product by it", f.name)
			}
		}
	}
}

// productPlace is the place of the product table beside that of the claims.
func productPlace(claims sheet.Place) sheet.Place {
	if claims.Sheet == "" {
		return sheet.Place{Book: strings.Replace(claims.Book, "claims.csv", "product.csv", 1)}
	}
	return sheet.Place{Book: claims.Book, Sheet: "product"}
}

func (r claimRow) claim(id string, ps *sheet.Problems) Claim {
	c := Claim{ID: id, Setting: r.Setting.Value, Wording: r.Wording.Value, Source: r.Source.Value, Captured: r.Captured.ISO, CapturedAt: r.Captured.Place,
		Evidence: strings.ReplaceAll(r.Evidence.Value, `\`, "/"), Place: r.At.Place, Basis: ParseBasis(r.Basis.Value)}
	if r.ID.Value != "" {
		c.ID = r.ID.Value
	}
	info, ok := Lookup(r.Attribute.Value)
	if r.Attribute.Bad {
		return c
	}
	if !ok {
		at := r.Attribute.Place
		if at.Book == "" {
			at = r.At.Place
		}
		ps.Add(at, "", "found %q; expected one of %s", r.Attribute.Value, list(AttributeNames()))
		return c
	}
	c.Attribute = info.Name
	c.Bound = info.Bound
	if r.Bound.Value != "" {
		b := Bound(measure.Fold(r.Bound.Value))
		switch b {
		case AtLeast, AtMost, About, UpTo:
			c.Bound, c.BoundGiven = b, true
		default:
			ps.Add(r.Bound.Place, "", "found %q; expected at least, at most, about, up to, or a blank for the usual one (%s)", r.Bound.Value, info.Bound)
		}
	}
	p, ok := measure.Particle(r.Particle.Value)
	if !ok {
		ps.Add(r.Particle.Place, "", "found %q; expected %s, or a size such as 0.3 um", r.Particle.Value, list(measure.Particles))
	}
	c.Particle = p
	if r.Value.Given {
		c.quantity(r, info, ps)
	}
	if c.Basis.Other != nil {
		c.Notes = append(c.Notes, fmt.Sprintf("the stated condition %s was not understood and was not used", list(c.Basis.Other)))
	}
	return c
}

// list words a list of names for a message: `"a", "b"`.
func list(names []string) string {
	q := make([]string, len(names))
	for i, n := range names {
		q[i] = fmt.Sprintf("%q", n)
	}
	if len(q) == 0 {
		return "nothing"
	}
	return strings.Join(q, ", ")
}

// Captures lists the evidence files that the claims point at, each once, sorted.
func (s *Spec) Captures() []string {
	seen := map[string]bool{}
	var out []string
	for _, c := range s.Claims {
		if c.Evidence != "" && !seen[c.Evidence] {
			seen[c.Evidence] = true
			out = append(out, c.Evidence)
		}
	}
	sort.Strings(out)
	return out
}
