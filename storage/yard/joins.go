package yard

import (
	"context"
	"errors"
	"slices"

	"pegpour/storage"
	"pegpour/storage/replication"
)

// joiner holds what mergers of two heads came to, found before the transaction that
// writes them down: the database has one writer, and merging large sites takes time.
type joiner struct {
	found   map[[2]storage.Revision][]byte
	damaged []storage.Revision // that were met
	inside  bool               // what was not found before is worked out in the transaction after all
}

// preparations is how often mergers are found before the transaction, when others
// send revisions of the same site meanwhile.
const preparations = 4

// errUnprepared: in the transaction two heads met of which the merger was not found
// before it.
var errUnprepared = errors.New("a merger is not prepared")

// prepare finds every merger that putting a revision will ask for, as the site
// stands now.
func (y *Yard) prepare(ctx context.Context, joins *joiner, site string, name storage.Revision,
	parents []storage.Revision, text []byte) error {
	return y.view(ctx, func(s session) error {
		heads, err := headsOf(s, site)
		if err != nil || len(heads) == 0 || slices.Contains(heads, name) {
			return err
		}
		heads = slices.DeleteFunc(heads, func(h storage.Revision) bool { return slices.Contains(parents, h) })
		ready, err := s.texts("SELECT 1 FROM revisions WHERE site = ? AND waiting = 1 LIMIT 1", site)
		if err != nil || len(heads)+len(ready) == 0 {
			return err // it takes the place of all there is, however much went before
		}
		l, err := lineage(s, site)
		if err != nil {
			return err
		}
		if _, here := l[name]; here {
			return nil
		}
		for _, p := range parents {
			if _, here := l[p]; !here {
				return nil // it will wait
			}
		}
		l[name] = parents
		heads = append(heads, name)
		if len(ready) > 0 { // those that waited for it become heads too
			if heads, err = becoming(s, site, l, name); err != nil {
				return err
			}
		}
		texts := map[storage.Revision][]byte{name: text}
		_, err = joins.all(s, l, heads, texts, true, func(storage.Revision, []storage.Revision, []byte) error { return nil })
		return err
	})
}

// becoming adds to a lineage the waiting revisions that a new one lets in, and
// returns the heads then.
func becoming(s session, site string, l replication.Lineage, name storage.Revision) ([]storage.Revision, error) {
	waiting, err := s.texts("SELECT name FROM revisions WHERE site = ? AND waiting = 1 ORDER BY name", site)
	if err != nil {
		return nil, err
	}
	for again := true; again; {
		again = false
		for _, w := range waiting {
			r := storage.Revision(w)
			if _, here := l[r]; here {
				continue
			}
			parents, err := parentsOf(s, r)
			if err != nil {
				return nil, err
			}
			all := true
			for _, p := range parents {
				_, here := l[p]
				all = all && here
			}
			if all {
				l[r], again = parents, true
			}
		}
	}
	return l.Heads(), nil
}

// mergeHeads merges by field what can be merged, and returns the heads. The
// result has the same bytes and name on whichever server it is made.
func (y *Yard) mergeHeads(s session, joins *joiner, site string) ([]storage.Revision, error) {
	heads, err := headsOf(s, site)
	for err == nil && len(heads) > 1 {
		var l replication.Lineage
		if l, err = lineage(s, site); err != nil {
			break
		}
		var left []storage.Revision
		left, err = joins.all(s, l, heads, nil, false,
			func(name storage.Revision, parents []storage.Revision, text []byte) error {
				if _, here := l[name]; !here {
					if err := y.insert(s, ByYard, site, name, parents, text); err != nil {
						return err
					}
				}
				return promote(s, site, name)
			})
		if err != nil {
			break
		}
		if heads, err = headsOf(s, site); slices.Equal(heads, left) {
			break // else one that waited for a merger was let in
		}
	}
	return heads, err
}

// all merges heads pair by pair, the first that can be, until no pair can; merged
// hears of each. Those not found before are worked out, with work, or end it with
// errUnprepared. texts are of revisions that the database does not have yet.
func (j *joiner) all(s session, l replication.Lineage, heads []storage.Revision, texts map[storage.Revision][]byte,
	work bool, merged func(storage.Revision, []storage.Revision, []byte) error) ([]storage.Revision, error) {
	heads = slices.Sorted(slices.Values(heads))
again:
	for i, a := range heads {
		for _, b := range heads[i+1:] {
			pair := [2]storage.Revision{a, b}
			text, found := j.found[pair]
			if !found {
				if !work && !j.inside {
					return nil, errUnprepared
				}
				var err error
				if text, err = j.joined(s, l, texts, a, b); err != nil {
					return nil, err
				}
				j.found[pair] = text
			}
			if text == nil {
				continue
			}
			parents := pair[:]
			name := storage.NameRevision(text, parents...)
			if err := merged(name, parents, text); err != nil {
				return nil, err
			}
			l[name] = parents
			if texts != nil {
				texts[name] = text
			}
			heads = slices.DeleteFunc(heads, func(h storage.Revision) bool { return h == a || h == b || h == name })
			heads = slices.Sorted(slices.Values(append(heads, name)))
			goto again
		}
	}
	return heads, nil
}

// joined returns the merger of two heads; nil when it takes a person, a newer program, or
// somebody who has what is damaged.
func (j *joiner) joined(s session, l replication.Lineage, texts map[storage.Revision][]byte, a, b storage.Revision) ([]byte, error) {
	var broken error // the database, not the documents
	read := func(name storage.Revision) (*storage.Document, error) {
		text, here := texts[name]
		if !here {
			if err := s.row("SELECT text FROM revisions WHERE name = ?", []any{string(name)}, &text); err != nil {
				broken = err
				return nil, err
			}
			if storage.NameRevision(text, l[name]...) != name {
				j.damaged = append(j.damaged, name)
				return nil, &DamagedError{}
			}
		}
		return storage.Decode(text)
	}
	merged, conflict, err := replication.JoinHeads(l, read, a, b)
	if broken != nil || conflict || err != nil {
		return nil, broken
	}
	text, err := storage.Encode(merged)
	if err != nil || len(text) > storage.MaxDocumentBytes || merged.LongestList() > storage.MaxEntries {
		return nil, nil
	}
	return text, nil
}
