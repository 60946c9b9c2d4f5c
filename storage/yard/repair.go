package yard

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"pegpour/storage"
)

// Repair mends what Examine finds and can be mended, and returns what was mended and
// what is still wrong. Nothing that a person entered is taken out: what is recomputed
// follows from the revisions, and a photo whose bytes are not its own is let go so that
// a phone which holds it sends it again. The yard is to be open for it Alone.
func (y *Yard) Repair(ctx context.Context) (mended []Finding, left Examination, err error) {
	found, err := y.Examine(ctx)
	if err != nil {
		return nil, found, err
	}
	if found.Sound() {
		return nil, found, nil
	}
	for _, f := range found.Findings {
		if f.Kind == DamagedIndex { // what follows reads by indexes
			if err := y.remakeIndex(ctx, f.Subject); err != nil {
				return nil, found, fmt.Errorf("index %s: %w", f.Subject, err)
			}
		}
	}
	if err := y.repairWhole(ctx, found.Findings); err != nil {
		return nil, found, err
	}
	for _, f := range found.Findings {
		var err error
		switch f.Kind {
		case DamagedPhoto:
			err = y.letGo(ctx, f.Subject)
		case DamagedRevision: // a device that has it sends it again
			err = y.revisionDamaged(ctx, storage.Revision(f.Subject))
		}
		if err != nil {
			return nil, found, fmt.Errorf("%s %s: %w", f.Kind, f.Subject, err)
		}
	}
	var sites []string
	err = y.view(ctx, func(s session) (err error) {
		sites, err = s.texts("SELECT site FROM revisions UNION SELECT id FROM sites ORDER BY 1")
		return err
	})
	if err != nil {
		return nil, found, err
	}
	for _, site := range sites {
		if err := y.update(ctx, func(s session) error { return y.repairSite(s, site) }); err != nil {
			return nil, found, fmt.Errorf("site %s: %w", site, err)
		}
	}
	if left, err = y.Examine(ctx); err != nil {
		return nil, left, err
	}
	for _, f := range found.Findings {
		if !slices.ContainsFunc(left.Findings, func(l Finding) bool { return l.Kind == f.Kind && l.Subject == f.Subject }) {
			mended = append(mended, f)
		}
	}
	return mended, left, nil
}

// remakeIndex makes an index anew, by the statement that first made it.
func (y *Yard) remakeIndex(ctx context.Context, name string) error {
	return y.update(ctx, func(s session) error {
		if name == searchIndex {
			return y.remakeSearch(s)
		}
		lacking, err := s.indexesLacking()
		if err != nil {
			return err
		}
		if statement := lacking[name]; statement != "" {
			if y.postgres {
				statement = inPostgres(statement)
			}
			return s.exec(statement)
		}
		if y.postgres {
			return nil
		}
		return s.exec(`REINDEX "` + strings.ReplaceAll(name, `"`, `""`) + `"`)
	})
}

// letGo has a damaged photo count as not here, so that a device that has it sends it
// again.
func (y *Yard) letGo(ctx context.Context, id string) error {
	var p photo
	err := y.view(ctx, func(s session) (err error) {
		p, err = readPhoto(s, id, "")
		return err
	})
	if err == nil && p.stored > 0 {
		err = y.photoDamaged(ctx, id, true)
	}
	if err == nil && p.pieces {
		err = y.photoDamaged(ctx, id, false)
	}
	return err
}

func (y *Yard) repairWhole(ctx context.Context, findings []Finding) error {
	return y.update(ctx, func(s session) error {
		for _, o := range orphans {
			if err := s.exec("DELETE FROM " + o.table + " WHERE " + o.where); err != nil {
				return err
			}
		}
		for _, f := range findings {
			var err error
			switch f.Kind {
			case DamagedIdentity:
				err = y.remember(s)
			case DamagedDeletion:
				err = s.exec("UPDATE sites SET turn = 0 WHERE id = ?", f.Subject)
			case DamagedPieces:
				err = dropPhotos(s, []string{f.Subject})
			}
			if err != nil {
				return err
			}
		}
		count, most, err := s.turns()
		if err != nil || count >= most {
			return err
		}
		if err := s.exec("DELETE FROM counters WHERE name = 'turn'"); err != nil {
			return err
		}
		return s.exec("INSERT INTO counters (name, value) VALUES ('turn', ?)", most)
	})
}

// remember makes a yard that lost it somebody again. That it is the one from before can
// no longer be told, so that phones compare anew.
func (y *Yard) remember(s session) error {
	if err := s.exec("DELETE FROM identity WHERE name IN ('yard', 'generation') AND value = ''"); err != nil {
		return err
	}
	here, err := s.texts("SELECT name FROM identity WHERE name IN ('yard', 'generation')")
	if err != nil || len(here) == 2 {
		return err
	}
	if slices.Contains(here, "yard") {
		if err := s.exec("INSERT INTO identity (name, value) VALUES ('generation', '')"); err != nil {
			return err
		}
		return renew(s)
	}
	if err := s.exec("DELETE FROM identity WHERE name = 'generation'"); err != nil {
		return err
	}
	return y.becomeSomebody(s)
}

// repairSite brings what is noted of a site to what its revisions say.
func (y *Yard) repairSite(s session, site string) error {
	f, err := readFacts(s, site)
	if err != nil || len(f.findings()) == 0 {
		return err
	}
	if len(f.names) == 0 {
		return s.exec("DELETE FROM sites WHERE id = ?", site)
	}
	if err := y.lockSite(s, site); err != nil {
		return err
	}
	for _, n := range f.names {
		r := f.revisions[n]
		if r.inFact != nil {
			if err := s.exec("DELETE FROM parents WHERE child = ?", string(n)); err != nil {
				return err
			}
			for _, p := range r.inFact {
				if err := s.exec("INSERT INTO parents (child, parent, site) VALUES (?, ?, ?)", string(n), string(p), site); err != nil {
					return err
				}
			}
		}
		waits := 0
		if !r.letIn {
			waits = 1
		}
		if err := s.exec("UPDATE revisions SET waiting = ?, turn = CASE WHEN ? = 1 THEN 0 ELSE turn END WHERE name = ?", waits,
			waits, string(n)); err != nil {
			return err
		}
	}
	if err := s.exec("DELETE FROM heads WHERE site = ?", site); err != nil {
		return err
	}
	for _, h := range f.newest() {
		if err := s.exec("INSERT INTO heads (site, name) VALUES (?, ?)", site, h); err != nil {
			return err
		}
	}
	heads, err := headsOf(s, site)
	if err != nil {
		return err
	}
	for i, h := range heads {
		r := f.revisions[h]
		if !r.sound || r.form != nil {
			continue
		}
		// describe takes the first head's line where the one given is none; this is one.
		err := y.describe(s, site, heads, heads[i], r.lines)
		if err != nil {
			return err
		}
		break
	}
	if _, err := y.refer(s, site); err != nil {
		return err
	}
	turn, err := s.turn()
	if err != nil {
		return err
	}
	if err := s.exec("UPDATE revisions SET turn = ? WHERE site = ? AND turn = 0 AND waiting = 0", turn, site); err != nil {
		return err
	}
	if f.deleted || len(heads) == 0 {
		return s.exec("UPDATE sites SET turn = 0 WHERE id = ?", site)
	}
	// Every device looks at it again: what the yard said of it may have been wrong.
	return s.returned(site, turn)
}

// Err is what was found as an error, nil for nothing.
func (e Examination) Err() error {
	if e.Sound() {
		return nil
	}
	lines := make([]string, len(e.Findings))
	for i, f := range e.Findings {
		lines[i] = f.Kind + " " + f.Subject + ": " + f.Words
	}
	return errors.New(strings.Join(lines, "\n"))
}
