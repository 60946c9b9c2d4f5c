package storage

import (
	"strings"

	"pegpour/engine/survey"
	"pegpour/storage/exif"
	"pegpour/storage/identity"
)

// Format is what a site's file says of itself.
const Format = "pegpour-site"

// The limits of one document. MaxEntries is of each list in it: no more are added,
// and a yard takes no more. One that has more is read all the same.
const (
	MaxDocumentBytes = 4 << 20
	MaxDocumentDepth = 32
	MaxEntries       = 10_000
)

// Document is everything kept of one site. Fields that a newer program wrote
// and this one does not know are kept inside and written back.
//
// Treat a Document as fixed: change it through an Edit and Apply, which return
// a new one, so that each change can be undone, merged and sent.
type Document struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	// ID names the site on every device for ever; a UUID.
	ID string `json:"id"`
	// Demo marks a site of our own invention.
	Demo   bool          `json:"demo,omitempty"`
	Survey survey.Survey `json:"survey,omitzero"`
	// ShopRules are the shop's rules that the site was begun under, where those came
	// from a yard; nil: it follows the shop's rules as they are.
	ShopRules *ShopRules `json:"shopRules,omitempty"`
	// Practice holds the rules this site overrides, by rule key.
	Practice map[string]float64 `json:"practice,omitempty"`
	// Drafts holds what was typed and could not be read or was refused, so that
	// nothing typed is lost. Read it with [Document.Draft]: keys of list entries
	// go by the entry's identity, not by its place in the list.
	Drafts map[string]string `json:"drafts,omitempty"`
	// OtherHand holds what was read while the gate ran to the other side, as one text
	// for "left" or "right" seen from the street: see [SetWords].
	OtherHand map[string]string `json:"otherHand,omitempty"`
	// Ticks holds what was ticked off on site (pegs, steps), by name.
	Ticks  map[string]bool `json:"ticks,omitempty"`
	Photos []Photo         `json:"photos,omitempty"`
	Notes  []Note          `json:"notes,omitempty"`
	// Created and Changed are RFC 3339 times given by the caller.
	Created string `json:"created,omitempty"`
	Changed string `json:"changed,omitempty"`

	extra map[string]any // what this version does not know, by its place
}

// ShopRules are the rules of a shop at one time. They are edited and merged as one piece.
type ShopRules struct {
	Revision int64              `json:"revision"` // of the yard's rules, from 1
	Rules    map[string]float64 `json:"rules,omitempty"`
}

// Photo is one photo of the site; its bytes are kept apart, under ID.
type Photo struct {
	ID    string `json:"id"`              // SHA-256 of the bytes, lower-case hexadecimal
	Name  string `json:"name,omitempty"`  // of the file it came from
	Type  string `json:"type,omitempty"`  // media type, e.g. image/jpeg
	Size  int64  `json:"size,omitempty"`  // bytes
	Taken string `json:"taken,omitempty"` // RFC 3339
	Note  string `json:"note,omitempty"`
	Pin   *Pin   `json:"pin,omitempty"`
	// Tick is the tick of a check list whose line it shows, as in Ticks; may be empty.
	Tick string `json:"tick,omitempty"`
	// Spots are places of the site pointed at in the picture, by the place's
	// identity, so that the plan can be drawn over it.
	Spots map[string]Spot `json:"spots,omitempty"`
	// Origin is what the file said of where and when; nil unless it was wanted.
	// The picture's own bytes never hold it.
	Origin *Origin `json:"origin,omitempty"`
	// Focal is the focal length of its lens as on film 36 mm wide, mm; 0 if the
	// file did not tell it.
	Focal float64 `json:"focal,omitempty"`
}

// Origin is what a camera wrote of where and when it took a photo.
type Origin struct {
	Position *Position `json:"position,omitempty"`
	// Clock is the camera's own, as it was set: RFC 3339, without the offset
	// where the file has none.
	Clock string `json:"clock,omitempty"`
}

// Position is a place on earth, degrees, north and east positive.
type Position struct {
	Latitude  float64 `json:"latitude"`
	Longitude float64 `json:"longitude"`
}

// OriginOf reads from a picture's file where and when it was taken, nil when the
// file says neither, and the focal length of its lens, 0 when it does not tell it.
func OriginOf(file []byte) (*Origin, float64) {
	found, _ := exif.Read(file)
	if !found.Positioned && found.Time == "" {
		return nil, found.Focal
	}
	o := &Origin{Clock: found.Time}
	if found.Positioned {
		o.Position = &Position{found.Latitude, found.Longitude}
	}
	return o, found.Focal
}

// Spot is a place of the site in a picture.
type Spot struct {
	U        float64 `json:"u"`        // pixels from the left
	V        float64 `json:"v"`        // pixels from the top
	Chainage float64 `json:"chainage"` // mm, as the place was when it was pointed at
	Offset   float64 `json:"offset"`   // mm
	// Height is how far it stands above the ground there, such as a post's top, mm.
	Height float64 `json:"height,omitempty"`
}

// Note is a remark, pinned to a place or not.
type Note struct {
	ID      string `json:"id"`
	Text    string `json:"text,omitempty"`
	Written string `json:"written,omitempty"` // RFC 3339
	Pin     *Pin   `json:"pin,omitempty"`
}

// Pin is a place on the plan.
type Pin struct {
	Chainage float64 `json:"chainage"` // mm from the latch post
	Offset   float64 `json:"offset"`   // mm into the property from the back of the posts
}

// NewDocument returns an empty site with a new identity. at is the time of
// making it, RFC 3339.
func NewDocument(at string) *Document {
	return &Document{Format: Format, Version: newest(Format), ID: NewID(), Created: at, Changed: at}
}

// NewID returns a new identity for a site: a random UUID.
func NewID() string { return identity.New().String() }

// newEntryID returns an identity for an entry of a list, unlike any other on
// any device.
func newEntryID() string { return strings.ReplaceAll(NewID(), "-", "")[:16] }

// Draft returns what was typed for a field and refused or not understood; path
// is the field's, e.g. "opening.width" or "runBack.obstructions.0.length", or
// "practice." and a rule's key.
func (d *Document) Draft(path string) (string, bool) {
	if len(d.Drafts) == 0 {
		return "", false
	}
	text, ok := d.Drafts[draftKey(d, path)]
	return text, ok
}

// LongestList is the length of the longest list in the tree of a document.
func LongestList(tree any) int {
	most := 0
	switch v := tree.(type) {
	case []any:
		most = len(v)
		for _, inner := range v {
			most = max(most, LongestList(inner))
		}
	case map[string]any:
		for _, inner := range v {
			most = max(most, LongestList(inner))
		}
	}
	return most
}

// LongestList is the length of the longest list in the document.
func (d *Document) LongestList() int { return LongestList(d.tree()) }
