package pdf

import (
	"slices"
	"strconv"
)

// tree is the document as it is read: elements with elements or marked pieces of pages in them.
type tree struct {
	root, in *element // and the one that new ones go into
	open     *element // whose piece is being written, nil where it is decoration
	begun    int      // where the operators of the piece begin, 0 where there is none
	from     int      // and what says so
	shown    bool     // whether it has a text already
}

// element is one of the standard structure types (ISO 32000-1, 14.8.4).
type element struct {
	kind       string
	parent     *element
	kids       []kid
	alt        string // what is said in place of a drawing
	attributes string
	at         int // its place among the parts of the document, where it is one
	number     int // of its object
}

// kid is an element, or a piece of a page by its number there.
type kid struct {
	element     *element
	page, piece int
}

func (k kid) place() int {
	if k.element == nil {
		return 0
	}
	return k.element.at
}

// new is a new element in the one that is being filled.
func (d *Document) new(kind string) *element { return d.tree.in.child(kind) }

func (e *element) child(kind string) *element {
	c := &element{kind: kind, parent: e}
	e.kids = append(e.kids, kid{element: c})
	return c
}

// mark has what is written from here on belong to an element.
func (d *Document) mark(e *element) {
	if d.tree.open == e {
		return
	}
	d.endMark()
	p := d.sheets[len(d.sheets)-1]
	d.tree.open, d.tree.from = e, len(d.buf)
	e.kids = append(e.kids, kid{page: len(d.sheets) - 1, piece: len(p.marks)})
	d.buf = append(append(d.buf, '/'), e.kind...)
	d.buf = append(d.buf, " <</MCID "...)
	d.buf = strconv.AppendInt(d.buf, int64(len(p.marks)), 10)
	d.op(">> BDC")
	p.marks = append(p.marks, e)
	d.tree.begun, d.tree.shown = len(d.buf), false
}

// told has what is written from here on belong to a new element, the first time that this is said
// in the document; where it is repeated it is decoration.
func (d *Document) told(kind, text string) {
	if d.said[kind+text] {
		d.decoration()
		return
	}
	d.said[kind+text] = true
	d.mark(d.new(kind))
}

// Read has what follows read out at a place in the document: what has a lower number before it.
func (d *Document) Read(at int) {
	d.tree.in = d.tree.root.child("Sect")
	d.tree.in.at = at
}

// decoration has what is written from here on belong to nothing: frames, lines, what is repeated.
func (d *Document) decoration() {
	if d.tree.open == nil && d.tree.begun > 0 {
		return
	}
	d.endMark()
	d.tree.from = len(d.buf)
	d.op("/Artifact BMC")
	d.tree.begun = len(d.buf)
}

// endMark ends a piece, or takes it back where nothing was written.
func (d *Document) endMark() {
	t := &d.tree
	if t.begun == 0 {
		return
	}
	last := len(d.later) - 1
	waits := last >= 0 && d.later[last].page == len(d.sheets)-1 && d.later[last].at >= t.begun
	if len(d.buf) > t.begun || waits {
		d.op("EMC")
	} else {
		d.buf = d.buf[:t.from]
		if e := t.open; e != nil {
			p := d.sheets[len(d.sheets)-1]
			p.marks, e.kids = p.marks[:len(p.marks)-1], e.kids[:len(e.kids)-1]
		}
	}
	t.open, t.begun = nil, 0
}

// empty reports whether there is nothing to read in an element; a cell stands for its place.
func (e *element) empty() bool {
	if e.kind == "TD" || e.kind == "TH" {
		return false
	}
	for _, k := range e.kids {
		if k.element == nil || !k.element.empty() {
			return false
		}
	}
	return true
}

// writeTree writes the elements, and for each page whose its pieces are. It returns the number
// of the tree's root.
func (d *Document) writeTree(f *file, pages []int) int {
	root := f.reserve()
	var all []*element
	var gather func(e *element)
	gather = func(e *element) {
		e.number = f.reserve()
		all = append(all, e)
		for _, k := range e.kids {
			if k.element != nil && !k.element.empty() {
				gather(k.element)
			}
		}
	}
	if d.fromRight {
		d.tree.root.attributes = "/O /Layout /WritingMode /RlTb"
	}
	slices.SortStableFunc(d.tree.root.kids, func(a, b kid) int { return a.place() - b.place() })
	gather(d.tree.root)
	for _, e := range all {
		b := append([]byte("<</S /"), e.kind...)
		above := root
		if e.parent != nil {
			above = e.parent.number
		}
		b = ref(append(b, " /P "...), above)
		if e.alt != "" {
			b = append(append(b, " /Alt "...), textString(e.alt)...)
		}
		if e.attributes != "" {
			b = append(append(append(b, " /A <<"...), e.attributes...), ">>"...)
		}
		on := -1
		for _, k := range e.kids {
			if k.element == nil {
				on = k.page
				b = ref(append(b, " /Pg "...), pages[on])
				break
			}
		}
		b = append(b, " /K ["...)
		for _, k := range e.kids {
			switch {
			case k.element != nil && k.element.empty():
			case k.element != nil:
				b = append(ref(b, k.element.number), ' ')
			case k.page == on:
				b = append(strconv.AppendInt(b, int64(k.piece), 10), ' ')
			default:
				b = ref(append(b, "<</Type /MCR /Pg "...), pages[k.page])
				b = strconv.AppendInt(append(b, " /MCID "...), int64(k.piece), 10)
				b = append(b, ">> "...)
			}
		}
		f.object(e.number, append(b, "]>>"...))
	}
	b := ref([]byte("<</Type /StructTreeRoot /K "), d.tree.root.number)
	b = append(b, " /ParentTree <</Nums ["...)
	for n, p := range d.sheets {
		b = append(strconv.AppendInt(b, int64(n), 10), " ["...)
		for _, e := range p.marks {
			b = append(ref(b, e.number), ' ')
		}
		b = append(b, "] "...)
	}
	b = append(b, "]>> /ParentTreeNextKey "...)
	b = strconv.AppendInt(b, int64(len(d.sheets)), 10)
	f.object(root, append(b, ">>"...))
	return root
}
