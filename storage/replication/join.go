package replication

import (
	"bytes"

	"pegpour/storage"
)

// MaxBases is the greatest number of nearest common revisions that Join looks
// at; histories crossed more often than that are left to a person.
const MaxBases = 4

// Join merges two states of a site by field. bases are their nearest common
// revisions. Where histories crossed there are several, which can disagree on
// who changed what: then each must lead to the same result, or all their
// conflicts are listed. The result without conflicts is the same whichever is
// called ours.
func Join(bases []*storage.Document, ours, theirs *storage.Document) (*storage.Document, []storage.Conflict, error) {
	if len(bases) == 0 || len(bases) > MaxBases {
		return storage.Merge(nil, ours, theirs)
	}
	merged, conflicts, err := storage.Merge(bases[0], ours, theirs)
	if err != nil || len(conflicts) > 0 || len(bases) == 1 {
		return merged, conflicts, err
	}
	text, err := storage.Encode(merged)
	if err != nil {
		return nil, nil, err
	}
	for _, b := range bases[1:] {
		other, conflicts, err := storage.Merge(b, ours, theirs)
		if err != nil || len(conflicts) > 0 {
			return other, conflicts, err
		}
		otherText, err := storage.Encode(other)
		if err != nil {
			return nil, nil, err
		}
		if !bytes.Equal(text, otherText) {
			return storage.Merge(nil, ours, theirs)
		}
	}
	return merged, nil, nil
}
