package storage

import (
	"context"
	"io"
)

// labelReceived is the step that joining with another device's state makes.
const labelReceived = "Joined with another phone's"

func (k *keeper) ReceiveBackUp(ctx context.Context, r io.Reader, how Restoring) (RestoreReport, error) {
	return k.restore(ctx, r, how, restoreMerged)
}

// restoreMerged joins the back-up's site with the one here, from the newest state that both
// came through. Where both changed the same place, or nothing is common, it is added beside.
func restoreMerged(tx Tx, r *backUpRecord, d *Document, item RestoreItem, at string, dry bool) (RestoreItem, error) {
	s, err := readState(tx, r.ID, state{})
	if err != nil {
		return item, err
	}
	here, ok := s.subject.(*Document)
	base := commonState(tx, s, r.History)
	if !ok || base == nil {
		return restoreBeside(tx, r, d, item, at, dry)
	}
	merged, conflicts, err := Merge(base, here, d)
	if err != nil || len(conflicts) > 0 {
		return restoreBeside(tx, r, d, item, at, dry)
	}
	text, err := Encode(merged)
	if err != nil {
		return item, err
	}
	item.Outcome = RestoreMerged
	if dry {
		return item, nil
	}
	_, err = receiveInto(tx, &s, merged, text, labelReceived, at)
	return item, err
}

// commonState is the newest state here that the steps of another device came through too;
// nil where there is none, or what leads back to it is not kept.
func commonState(tx Tx, s state, theirs []Step) *Document {
	tree, err := rewound(tx, s, func(step Step) bool { return hasRevision(theirs, step.Revision) })
	if err == nil {
		tree, err = migrateTree(tree, Format)
	}
	if err != nil {
		return nil
	}
	d, err := documentOf(tree)
	if err != nil {
		return nil
	}
	return d
}
