package document

import "weighhouse/templates/figure"

// set breaks a text into lines no wider than w. A word that is wider is broken between letters.
func (d *Doc) set(t Text, w, size float64, tone figure.Tone) []line {
	out := make([]line, 0, 2)
	cur := line{pieces: d.lineBuf[:0]}
	text := d.textBuf[:0] // of the last piece, where it is put together from several
	settle := func() {
		if len(text) > 0 {
			cur.pieces[len(cur.pieces)-1].text = string(text)
			text = text[:0]
		}
	}
	grow := func(ss ...string) { // adds to the last piece
		if len(text) == 0 {
			text = append(text, cur.pieces[len(cur.pieces)-1].text...)
		}
		for _, s := range ss {
			text = append(text, s...)
		}
	}
	defer func() { d.textBuf = text[:0] }()
	keep := func() { // the line is done: its pieces leave the buffer
		settle()
		d.lineBuf = cur.pieces[:0]
		cur.pieces = d.kept(cur.pieces)
		out = append(out, cur)
		cur = line{pieces: d.lineBuf}
	}
	put := func(ps []piece, at float64) {
		for _, p := range ps {
			p.x += at
			if n := len(cur.pieces); n > 0 && p.inline == nil && cur.pieces[n-1].inline == nil && cur.pieces[n-1].style == p.style {
				last := &cur.pieces[n-1] // one operation where the style is one
				if gap := p.x - last.x - last.w; gap > 0.01 {
					grow(" ", p.text)
				} else {
					grow(p.text)
				}
				last.w = p.x + p.w - last.x
			} else {
				if n > 0 && p.x-cur.w > 0.01 && cur.pieces[n-1].inline == nil {
					grow(" ") // for whoever reads the text and not the page
				}
				settle()
				cur.pieces = append(cur.pieces, p)
			}
			cur.w = p.x + p.w
		}
	}
	for _, wd := range d.words(t, size, tone) {
		if wd.brk || len(cur.pieces) > 0 && cur.w+wd.space+wd.w > w+0.01 {
			if wd.brk || len(cur.pieces) > 0 {
				if n := len(cur.pieces); n > 0 && wd.space > 0 && cur.pieces[n-1].inline == nil {
					grow(" ")
				}
				keep()
			}
			wd.space = 0
		}
		if len(cur.pieces) == 0 {
			wd.space = 0
		}
		for wd.w > w+0.01 && len(cur.pieces) == 0 {
			head, tail, ok := d.cut(wd, w)
			if !ok {
				break
			}
			put(head.pieces, 0)
			keep()
			wd = tail
		}
		put(wd.pieces, cur.w+wd.space)
	}
	if len(cur.pieces) > 0 || len(out) == 0 {
		keep()
	}
	return out
}

// kept copies pieces to where they can stay, many to one piece of memory.
func (d *Doc) kept(ps []piece) []piece {
	const chunk = 256
	if len(ps) > cap(d.pieces)-len(d.pieces) {
		d.pieces = make([]piece, 0, max(chunk, len(ps)))
	}
	n := len(d.pieces)
	d.pieces = append(d.pieces, ps...)
	return d.pieces[n:len(d.pieces):len(d.pieces)]
}

// cut breaks a word so that its head is no wider than w; ok is false where it cannot be.
func (d *Doc) cut(wd word, w float64) (head, tail word, ok bool) {
	for i, p := range wd.pieces {
		if head.w+p.w <= w {
			p.x = head.w
			head.pieces = append(head.pieces, p)
			head.w += p.w
			continue
		}
		n, at := 0, 0.0
		for j, r := range p.text {
			a := d.measure(string(r), p.face, p.size)
			if head.w+at+a > w && (j > 0 || len(head.pieces) > 0) {
				break
			}
			n, at = j+len(string(r)), at+a
		}
		rest := p
		if n > 0 {
			h := p
			h.text, h.w, h.x = p.text[:n], at, head.w
			head.pieces = append(head.pieces, h)
			head.w += at
			rest.text, rest.w = p.text[n:], p.w-at
		}
		if rest.text != "" || rest.inline != nil {
			rest.x = 0
			tail.pieces = append(tail.pieces, rest)
			tail.w = rest.w
		}
		for _, q := range wd.pieces[i+1:] {
			q.x = tail.w
			tail.pieces = append(tail.pieces, q)
			tail.w += q.w
		}
		return head, tail, len(head.pieces) > 0 && len(tail.pieces) > 0
	}
	return head, tail, false
}
