package storage

import (
	"slices"
	"strconv"
	"strings"

	"pegpour/engine/input"
	"pegpour/engine/refusal"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

const (
	// spotOfPeg begins the identity of a peg of the network among the places
	// pointed at in a photo.
	spotOfPeg = "network."
	// pegNameLong is the most letters of a peg's name: it is written on the sketch.
	pegNameLong = 12
)

// InsertEntry is AddEntry before entry i of the list; at its length it is AddEntry.
func InsertEntry(d *Document, label, list string, i int, entry any) (Edit, error) {
	e, err := AddEntry(d, label, list, entry)
	if err != nil {
		return Edit{}, err
	}
	b := onSite(d, label)
	if b.err != nil {
		return Edit{}, b.err
	}
	at, found := fieldPath(b.tree, list+"."+strconv.Itoa(i))
	if !found {
		return e, nil
	}
	e.Changes[0].Follows = follows(b.tree, splitPath(at))
	return e, nil
}

// RenamePeg returns the edit that gives a peg of the tape network another name:
// its tapes and the photos in which it was pointed at follow. A name that is
// empty, too long or another peg's is a *engine.FieldError; nothing changes.
func RenamePeg(d *Document, from, to string) (Edit, error) {
	to = strings.TrimSpace(to)
	pegs := d.Survey.Network.Pegs
	named := func(name string) int {
		return slices.IndexFunc(pegs, func(p survey.NetworkPeg) bool { return p.Name == name })
	}
	i := named(from)
	refuse := func(reason input.Reason, why refusal.Message) (Edit, error) {
		return Edit{}, &input.FieldError{Path: string(survey.NetworkPegName.At(i)), Name: "Name of the peg", Text: to,
			Reason: reason, Detail: text.TextOf(why)}
	}
	switch {
	case i < 0:
		return refuse(input.UnknownField, refusal.Say("there is no peg “{0}”", refusal.Typed(from)))
	case to == "":
		return refuse(input.Impossible, refusal.Say("a peg needs a name"))
	case len([]rune(to)) > pegNameLong:
		return refuse(input.Impossible,
			refusal.Say("“{0}” is longer than {1} letters", refusal.Typed(to), refusal.Count(pegNameLong)))
	case to != from && named(to) >= 0:
		return refuse(input.Impossible, refusal.Say("there is a peg “{0}” already", refusal.Typed(to)))
	}
	b := onSite(d, "Name of the peg")
	set := func(field survey.Path, text string) {
		if at, found := fieldPath(b.tree, string(field)); b.err == nil && found {
			b.set(at, text)
		}
	}
	set(survey.NetworkPegName.At(i), to)
	for k := range d.Survey.Network.Tapes {
		t := &d.Survey.Network.Tapes[k]
		if t.From == from {
			set(survey.NetworkTapeFrom.At(k), to)
		}
		if t.To == from {
			set(survey.NetworkTapeTo.At(k), to)
		}
	}
	for k := range d.Photos {
		p := &d.Photos[k]
		if spot, pointed := p.Spots[spotOfPeg+from]; pointed && to != from {
			b.set(joinPath("photos", "@"+p.ID, "spots", spotOfPeg+from), nil)
			b.set(joinPath("photos", "@"+p.ID, "spots", spotOfPeg+to), spot)
		}
	}
	return b.done()
}

// RemovePeg returns the edit that takes a peg off the network with its tapes
// and what was typed for them, so that one undo brings all of it back.
func RemovePeg(d *Document, name string) (Edit, error) {
	out := Edit{Label: "Remove a peg"}
	take := func(list string, i int) error {
		e, err := RemoveEntry(d, out.Label, list, i)
		out.Changes = append(out.Changes, e.Changes...)
		return err
	}
	// From the last on, so that undoing puts each where it stood.
	for k := len(d.Survey.Network.Tapes) - 1; k >= 0; k-- {
		if t := &d.Survey.Network.Tapes[k]; t.From == name || t.To == name {
			if err := take(survey.NetworkTapes, k); err != nil {
				return Edit{}, err
			}
		}
	}
	i := slices.IndexFunc(d.Survey.Network.Pegs, func(p survey.NetworkPeg) bool { return p.Name == name })
	if i < 0 {
		return Edit{}, &input.FieldError{Path: survey.NetworkPegs, Name: "Peg", Text: name, Reason: input.UnknownField}
	}
	if err := take(survey.NetworkPegs, i); err != nil {
		return Edit{}, err
	}
	return out, nil
}
