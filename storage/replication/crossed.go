package replication

import (
	"slices"
	"strings"

	"pegpour/storage"
)

// maxCrossings is how deep crossed histories are followed.
const maxCrossings = 16

// JoinHeads merges two revisions of one history by field; read reads one.
// conflict is true when it takes a person, and the document then is nil.
//
// Where histories crossed, the two nearest common revisions are first merged
// themselves, from what they came from, so that a field which only one of them
// is behind on is no conflict. A place at which those two conflicted was
// settled by somebody: if the heads differ there, they conflict. Otherwise a
// choice that a person made would be lost without a word.
func JoinHeads(l Lineage, read func(storage.Revision) (*storage.Document, error), a,
	b storage.Revision) (d *storage.Document, conflict bool, err error) {
	d, conflicts, err := JoinWithConflicts(l, read, a, b)
	if err != nil || len(conflicts) > 0 {
		return nil, len(conflicts) > 0, err
	}
	return d, false, nil
}

// JoinWithConflicts is JoinHeads for a person who chooses: the document holds what
// a has at each of the conflicts.
func JoinWithConflicts(l Lineage, read func(storage.Revision) (*storage.Document, error), a,
	b storage.Revision) (*storage.Document, []storage.Conflict, error) {
	ours, err := read(a)
	if err != nil {
		return nil, nil, err
	}
	theirs, err := read(b)
	if err != nil {
		return nil, nil, err
	}
	base, contested, err := comeFrom(l, read, a, b)
	if err != nil {
		return nil, nil, err
	}
	return join(base, contested, ours, theirs)
}

// comeFrom returns what two revisions came from, nil when that is nothing they
// have in common, and the places at which it is not certain. a need not be
// readable.
func comeFrom(l Lineage, read func(storage.Revision) (*storage.Document, error), a,
	b storage.Revision) (*storage.Document, []string, error) {
	base, contested, deep, err := commonState(l, read, a, b, 0)
	if deep {
		return nil, []string{everywhere}, err
	}
	return base, contested, err
}

// everywhere is the path that every place is within.
const everywhere = ""

// join merges two documents that came from base. Where base is contested each
// difference is a conflict.
func join(base *storage.Document, contested []string, ours, theirs *storage.Document) (*storage.Document,
	[]storage.Conflict, error) {
	d, conflicts, err := storage.Merge(base, ours, theirs)
	if err != nil || len(contested) == 0 {
		return d, conflicts, err
	}
	e, err := storage.Diff(ours, theirs)
	if err != nil {
		return nil, nil, err
	}
	for _, c := range e.Changes {
		listed := c.Path == "/changed" || c.Path == "/created" ||
			slices.ContainsFunc(conflicts,
				func(o storage.Conflict) bool { return within(c.Path, o.Path) || within(o.Path, c.Path) })
		if !listed && slices.ContainsFunc(contested,
			func(path string) bool { return within(c.Path, path) || within(path, c.Path) }) {
			conflicts = append(conflicts, c.Contested())
		}
	}
	return d, conflicts, nil
}

// commonState returns what two revisions came from and the places at which
// that is not certain; nil when they have nothing in common. deep reports
// histories that crossed too often to be followed.
func commonState(l Lineage, read func(storage.Revision) (*storage.Document, error), a, b storage.Revision,
	depth int) (d *storage.Document, contested []string, deep bool, err error) {
	common := l.Common(a, b)
	switch {
	case len(common) == 0:
		return nil, nil, false, nil
	case len(common) == 1:
		d, err = read(common[0])
		return d, nil, false, err
	case len(common) > 2 || depth == maxCrossings:
		return nil, nil, true, nil
	}
	base, contested, deep, err := commonState(l, read, common[0], common[1], depth+1)
	if err != nil || deep {
		return nil, nil, deep, err
	}
	ours, err := read(common[0])
	if err != nil {
		return nil, nil, false, err
	}
	theirs, err := read(common[1])
	if err != nil {
		return nil, nil, false, err
	}
	d, conflicts, err := storage.Merge(base, ours, theirs)
	for _, c := range conflicts {
		contested = append(contested, c.Path)
	}
	return d, contested, false, err
}

// within reports whether a path names the place outer or one inside it.
func within(path, outer string) bool {
	return path == outer || strings.HasPrefix(path, outer+"/")
}
