package yard

import (
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"strings"

	"pegpour/engine/progress"
	"pegpour/storage"
)

// The step of a site is that of the first of its newest versions in order of name, which
// is the one that an office opens and draws; where there is one newest version, as nearly
// always, it is that. Of two that contradict one another neither is the right one until
// a person has chosen, and the list says that there are two.
//
// Whoever takes in a version tells its step. What a server of before wrote, and what was
// there before the seventh layout, is told afterwards, by TellFar. What progress.Of says
// of a document is stored: whoever has it say something else adds a step of the layout
// that sets far_turn to 0, so that all are told anew.

// FarUnknown lists, as Query.Far, the sites of which the step is not known: those that are
// still to be told, and those whose newest version this program cannot read.
const FarUnknown = "unknown"

// noFar stands where the step was to be told and could not: the version is damaged, or a
// newer program's.
const noFar = -1

// farOf is the step of a document; noFar, and why, where it cannot be read.
func farOf(text []byte) (int, error) {
	// Most are of this version, and reading them into its types is enough and costs a
	// quarter.
	var d storage.Document
	if json.Unmarshal(text, &d) == nil && d.Version == storage.KnownVersion() && d.ID != "" {
		return int(progress.Of(&d.Survey, d.Ticks)), nil
	}
	read, err := storage.Decode(text)
	if err != nil {
		return noFar, err
	}
	return int(progress.Of(&read.Survey, read.Ticks)), nil
}

// returned gives a site a turn, and tells its step by what is here.
func (s session) returned(site string, turn int64) error {
	far, err := s.readFar(site)
	if err != nil {
		return err
	}
	return s.exec("UPDATE sites SET turn = ?, far = ?, far_turn = ? WHERE id = ?", turn, far, turn, site)
}

// readFar is the step of a site by its versions. Of one whose bytes are not what was sent
// none is told.
func (s session) readFar(site string) (far int, err error) {
	far = noFar
	var head storage.Revision
	var text []byte
	err = s.rows(`SELECT name, text FROM revisions WHERE name = (SELECT MIN(name) FROM heads WHERE site = ?)`, []any{site},
		func(scan func(...any) error) error { return scan(&head, &text) })
	if err != nil || head == "" {
		return far, err
	}
	parents, err := parentsOf(s, head)
	if err == nil && storage.NameRevision(text, parents...) == head {
		far, _ = farOf(text) // of a newer program: told once this one is newer
	}
	return far, err
}

// untold holds of the sites of which the step is not known; it is the second index of the
// seventh layout.
const untold = "(far_turn <> turn OR far < 0)"

// tellAtOnce bounds how many sites are told in one transaction: who writes waits for it
// less than for a photo.
const tellAtOnce = 100

// TellFar tells the steps of the sites that do not have theirs, the last received first,
// a few at a time, and returns of how many it told one. again tries those too of which it
// could not be told before. What is sent meanwhile is not in its way, nor is another
// server that does the same.
func (y *Yard) TellFar(ctx context.Context, again bool) (told int, err error) {
	for before := int64(0); ; {
		next, n, err := y.tellSome(ctx, before, again)
		told += n
		if err != nil || next == 0 {
			return told, err
		}
		before = next
	}
}

// tellSome tells what comes next before a turn, 0 for the newest, and returns the turn to
// go on from, 0 at the end.
func (y *Yard) tellSome(ctx context.Context, before int64, again bool) (next int64, told int, err error) {
	type one struct {
		id   string
		turn int64
		far  int
	}
	var some []one
	err = y.view(ctx, func(s session) error {
		some = some[:0]
		query, args := "SELECT id, turn FROM sites WHERE turn > 0 AND "+untold, []any(nil)
		if !again {
			query += " AND far_turn <> turn"
		}
		if before > 0 {
			query, args = query+" AND turn < ?", append(args, before)
		}
		err := s.rows(query+" ORDER BY turn DESC LIMIT "+itoa(tellAtOnce), args, func(scan func(...any) error) error {
			var o one
			err := scan(&o.id, &o.turn)
			some = append(some, o)
			return err
		})
		for i := range some {
			if err == nil {
				some[i].far, err = s.readFar(some[i].id)
			}
		}
		return err
	})
	if err != nil || len(some) == 0 {
		return 0, 0, err
	}
	if len(some) == tellAtOnce {
		next = some[len(some)-1].turn
	}
	slices.SortFunc(some, func(a, b one) int { return strings.Compare(a.id, b.id) }) // all servers lock in one order
	err = y.update(ctx, func(s session) error {
		told = 0
		for _, o := range some {
			// One that changed since has another turn, and is met the next time if need be.
			n, err := s.changed("UPDATE sites SET far = ?, far_turn = turn WHERE id = ? AND turn = ? AND "+untold, o.far, o.id,
				o.turn)
			if err != nil {
				return err
			}
			if o.far != noFar {
				told += int(n)
			}
		}
		return nil
	})
	return next, told, err
}

// farName is what the step of a row is called, FarUnknown where this program has no name
// for it.
func farName(far int) string {
	return cmp.Or(progress.Step(far).Name(), FarUnknown)
}

// isFar is the condition of sites that are at a step, by its name.
func isFar(name string) (condition string, args []any, err error) {
	if name == FarUnknown {
		return " AND " + untold, nil, nil
	}
	for step := range progress.Steps {
		if step.Name() == name {
			return " AND far_turn BETWEEN turn AND turn AND far = ?", []any{int(step)}, nil
		}
	}
	return "", nil, invalid("far is not the name of a step")
}

// FarUntold counts the sites that a query would list if their step were known, however
// many it asks for at once. It counts up to a thousand.
func (y *Yard) FarUntold(ctx context.Context, q Query) (n int, err error) {
	q.Far, q.Before = FarUnknown, 0
	err = y.view(ctx, func(s session) error {
		from, args, err := q.from(s)
		if err != nil {
			return err
		}
		return s.row("SELECT COUNT(*) FROM (SELECT 1"+from+" LIMIT 1000) AS these", args, &n)
	})
	return n, err
}
