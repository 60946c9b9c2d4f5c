package storage

import (
	"encoding/json"
	"strings"

	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage/canonical"
)

// ofOneSide are the places of a document that hold what was read, or ticked off, on
// the side to which the gate runs. Made to run the other way, nobody has read them there.
var ofOneSide = []string{
	"/survey/drive/runBackEdge", "/survey/drive/latchEdge", "/survey/runBack", "/survey/ground/soil",
	"/survey/ground/class", "/survey/ground/depthToFirm", "/survey/ground/shape", "/survey/ground/levels",
	"/survey/ground/slab", "/ticks", postRunBack, postLatch, networkPegs, "/survey/network/tapes",
	"/survey/build/pegs",
	"/survey/build/casting", "/survey/build/poured",
}

// What changes places with the hand, and is known as well as before.
const (
	postRunBack = "/survey/opening/postRunBack"
	postLatch   = "/survey/opening/postLatch"
	networkPegs = "/survey/network/pegs"
)

// otherRole is what a taped peg marks once the gate runs the other way.
var otherRole = map[string]string{
	survey.PegLatch: survey.PegRunBack, survey.PegRunBack: survey.PegLatch,
	survey.PegLatchEdge: survey.PegRunBackEdge, survey.PegRunBackEdge: survey.PegLatchEdge,
	survey.PegRoomEnd: survey.PegPlain, survey.PegDepthEnd: survey.PegPlain,
}

// sideOf is the side to which a gate runs, left or right as seen from the street.
func sideOf(s *survey.Survey) string {
	hand := survey.FieldOf(survey.OpeningHand).Chosen(s)
	if survey.FieldOf(survey.OpeningSeenFrom).Chosen(s) == survey.SeenFromInside {
		return otherSide(hand)
	}
	return hand
}

func otherSide(side string) string {
	if side == survey.HandLeft {
		return survey.HandRight
	}
	return survey.HandLeft
}

// KeepsOtherSide reports whether readings of the side to which the gate does not run are
// kept for going back.
func (d *Document) KeepsOtherSide() bool { return d.OtherHand[otherSide(sideOf(&d.Survey))] != "" }

// turn lays aside what was read on one side, and brings back what was laid aside of
// the other. Where nothing was, posts and taped pegs change places and the
// rest counts as not measured.
func (b *edits) turn(from, to string) {
	kept, back := map[string]any{}, b.laidAside(to)
	if back == nil {
		back = b.swapped()
	}
	places := append([]string{}, ofOneSide...)
	drafts, _ := b.tree["drafts"].(map[string]any)
	for _, key := range namesOf(drafts) {
		for _, place := range ofOneSide {
			if field := keyOf(place); key == field || strings.HasPrefix(key, field+".") {
				places = append(places, joinPath("drafts", key))
			}
		}
	}
	for _, place := range places {
		if v, ok := lookUp(b.tree, splitPath(place)); ok && v != nil {
			kept[place] = copyTree(v)
			b.set(place, nil)
		}
	}
	b.bring(back)
	b.turnPins()
	b.set(joinPath("otherHand", to), nil)
	if len(kept) == 0 || b.err != nil {
		return
	}
	var text []byte
	if text, b.err = canonical.Marshal(kept); b.err == nil {
		b.set(joinPath("otherHand", from), string(text))
	}
}

// turnPins keeps photos and notes at their places: what was so far from one post is as
// far from the other one as the opening, measured or assumed, leaves.
func (b *edits) turnPins() {
	width, measured := b.width()
	if !measured {
		rules := practice.DefaultPractice()
		width, _ = survey.FieldOf(survey.OpeningWidth).Assumed(&survey.Survey{}, &rules)
	}
	for _, name := range []string{"photos", "notes"} {
		list, _ := b.tree[name].([]any)
		for _, id := range entryIDs(list) {
			at := joinPath(name, "@"+id, "pin")
			pin, _ := lookUp(b.tree, splitPath(at))
			if of, ok := pin.(map[string]any); ok {
				along, _ := of["chainage"].(float64)
				turned := copyTree(of)
				turned["chainage"] = width - along
				b.set(at, turned)
			}
		}
	}
}

// width is the opening as it was measured.
func (b *edits) width() (mm float64, measured bool) {
	v, _ := lookUp(b.tree, []string{"survey", "opening", "width", "size"})
	mm, measured = v.(float64)
	return mm, measured
}

func (b *edits) bring(back map[string]any) {
	for _, place := range namesOf(back) {
		b.set(place, back[place])
	}
}

// laidAside is what is kept of a side by its place; nil where nothing is.
func (b *edits) laidAside(side string) map[string]any {
	text, _ := lookUp(b.tree, []string{"otherHand", side})
	if text, ok := text.(string); ok && b.err == nil {
		var back map[string]any
		if b.err = json.Unmarshal([]byte(text), &back); b.err == nil {
			return back
		}
	}
	return nil
}

// swapped is what is known of the other side without going there.
func (b *edits) swapped() map[string]any {
	back := map[string]any{}
	for from, to := range map[string]string{postRunBack: postLatch, postLatch: postRunBack, networkPegs: networkPegs,
		"/survey/network/tapes": "/survey/network/tapes"} {
		if v, ok := lookUp(b.tree, splitPath(from)); ok && v != nil {
			back[to] = copyTree(v)
		}
	}
	w, measured := b.width()
	pegs, _ := back[networkPegs].([]any)
	for i := range pegs {
		peg, _ := pegs[i].(map[string]any)
		role, _ := peg["role"].(string)
		if other, ok := otherRole[role]; ok {
			peg["role"] = other
		}
		if along, ok := peg["along"].(map[string]any); ok && !measured {
			delete(peg, "along") // where it stands from the other post is not known
		} else if ok {
			size, _ := along["size"].(float64)
			along["size"] = w - size
			delete(along, "text") // typed from the other post
		}
	}
	return back
}

// turnedFrom reports whether a state has the gate run the other way than an earlier one
// in which that was answered.
func turnedFrom(base, d *Document) bool {
	was, is := &base.Survey.Opening, &d.Survey.Opening
	return sideOf(&base.Survey) != sideOf(&d.Survey) &&
		(was.Hand != "" && was.Hand != is.Hand || was.SeenFrom != "" && was.SeenFrom != is.SeenFrom)
}

// turnedTree is the document with the gate made to run as in like, as a tree.
func (d *Document) turnedTree(like *Document) (map[string]any, error) {
	b := onSite(d, "")
	b.turn(sideOf(&d.Survey), sideOf(&like.Survey))
	b.setWords("/survey/opening/hand", like.Survey.Opening.Hand)
	b.setWords("/survey/opening/seenFrom", like.Survey.Opening.SeenFrom)
	return b.tree, b.err
}

// UseOtherSide returns the edit that takes what is kept of the other side for this
// one: it was read here, and only the answer which way the gate runs was wrong.
func UseOtherSide(d *Document) (Edit, error) {
	b := onSite(d, "Readings of this side")
	side := otherSide(sideOf(&d.Survey))
	b.bring(b.laidAside(side))
	b.turnPins() // they were put on the drawing of these readings
	b.set(joinPath("otherHand", side), nil)
	return b.done()
}
