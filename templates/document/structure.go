package document

// element is a node of the document's structure, by which assistive software reads it: a type such as "P" or "TD", the
// elements within it, and the pieces of pages that are its content.
type element struct {
	tag      string
	parent   *element
	kids     []kid
	attached bool   // stands in its parent's kids
	alt      string // in place of the content, for figures
	attrs    string // PDF dictionaries of the /A entry
	num      int    // PDF object number, given by the update
}

// kid is a child element, a piece of marked content (number mcid of a page), or an object of a page such as a link.
type kid struct {
	elem   *element
	page   int
	mcid   int
	object int
}

// child makes an element within e. An eager one takes its place at once; another does so when its first content is
// drawn, so that content and child elements keep the order in which they are read.
func (e *element) child(tag string, eager bool) *element {
	c := &element{tag: tag, parent: e}
	if eager {
		c.attach()
	}
	return c
}

func (e *element) attach() {
	if e.attached {
		return
	}
	e.attached = true
	e.parent.attach()
	e.parent.kids = append(e.parent.kids, kid{elem: e})
}

// mark notes that piece mcid of a page belongs to e.
func (e *element) mark(page, mcid int) {
	e.attach()
	e.kids = append(e.kids, kid{page: page, mcid: mcid})
}

// path names an element by its types, for recordings.
func (e *element) path() string {
	if e == nil {
		return "artifact"
	}
	if e.parent == nil {
		return e.tag
	}
	return e.parent.path() + "/" + e.tag
}

// walk calls f for e and every element within it, parents first.
func (e *element) walk(f func(*element)) {
	f(e)
	for _, k := range e.kids {
		if k.elem != nil {
			k.elem.walk(f)
		}
	}
}

// write writes the element as a PDF dictionary.
func (e *element) write(o *objects, parent int) {
	o.put("<</S/", e.tag, "/P ")
	o.ref(parent)
	home := 0 // the page that content without a page of its own is on
	for _, k := range e.kids {
		if k.elem == nil {
			home = k.page
			o.put("/Pg ")
			o.ref(pageObject(home))
			break
		}
	}
	if e.attrs != "" {
		o.put("/A", e.attrs)
	}
	if e.alt != "" {
		o.put("/Alt", textString(e.alt))
	}
	if len(e.kids) > 0 {
		o.put("/K[")
		for _, k := range e.kids {
			switch {
			case k.elem != nil:
				o.ref(k.elem.num)
			case k.object > 0:
				o.put("<</Type/OBJR/Obj ")
				o.ref(k.object)
				o.put("/Pg ")
				o.ref(pageObject(k.page))
				o.put(">>")
			case k.page == home:
				o.int(k.mcid)
				o.put(" ")
			default:
				o.put("<</Type/MCR/Pg ")
				o.ref(pageObject(k.page))
				o.put("/MCID ")
				o.int(k.mcid)
				o.put(">>")
			}
		}
		o.put("]")
	}
	o.put(">>")
}
