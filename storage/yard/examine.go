package yard

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"modernc.org/sqlite"

	"pegpour/storage"
)

// Kinds of damage that Examine finds.
const (
	DamagedDatabase = "database" // SQLite finds its own file damaged
	DamagedIndex    = "index"    // an index is missing or does not fit its table
	DamagedIdentity = "identity" // the yard does not know who it is
	DamagedTurn     = "turn"     // the count of changes is behind the changes
	DamagedRevision = "revision" // bytes that are not those of the name
	DamagedForm     = "form"     // bytes of the name that are no document of the site
	DamagedParents  = "parents"  // what a revision came from is not what its name says
	MissingParent   = "missing"  // a revision that does not wait lacks one it came from
	DamagedWaiting  = "waiting"  // waits although all is here
	DamagedHeads    = "heads"    // the newest versions are not those noted
	DamagedLine     = "line"     // the line of the list is not that of a newest version
	DamagedShown    = "shown"    // photos noted as shown are not those that are
	DamagedPhoto    = "photo"    // bytes that are not those of the name
	DamagedPieces   = "pieces"   // parts of a photo that is being sent do not fit together
	Orphan          = "orphan"   // belongs to nothing that is here
	DamagedDeletion = "deletion" // a deleted site that is in the lists
)

// Finding is one damage.
type Finding struct {
	Kind    string
	Subject string // of which site, revision, photo or table
	Words   string // in English, for who runs the yard
	// Mends: Repair can put it right without anything being lost.
	Mends bool
}

// Examination is what looking at all of a yard found.
type Examination struct {
	Sites, Revisions, Photos int
	Findings                 []Finding
}

// Sound reports that nothing was found.
func (e Examination) Sound() bool { return len(e.Findings) == 0 }

// Examine looks at everything that a yard holds: SQLite's own file, whether the indexes
// are there, each revision and photo against its name, who came from whom, the newest
// versions, the lines of the list, and what belongs to nothing. It changes nothing and
// holds nobody up; what is sent meanwhile may be in or not.
func (y *Yard) Examine(ctx context.Context) (Examination, error) {
	return y.examined(ctx, false)
}

// examineRows is Examine for all but the bytes of photos.
func (y *Yard) examineRows(ctx context.Context) (Examination, error) { return y.examined(ctx, true) }

func (y *Yard) examined(ctx context.Context, rowsOnly bool) (Examination, error) {
	var e Examination
	err := y.examine(ctx, &e, rowsOnly)
	var s *sqlite.Error
	if errors.As(err, &s) && (s.Code()&0xff == 11 || s.Code()&0xff == 26) { // malformed, or no database at all
		e.Findings = append(e.Findings, Finding{DamagedDatabase, FileName, err.Error(), false})
		err = nil
	}
	return e, err
}

// ExamineAt is Examine for a yard that is not open, of this program's layout. Not a byte
// of it is changed. Errors: ErrNowhere.
func ExamineAt(ctx context.Context, where string, o Options) (Examination, error) {
	u, err := CheckUpgrade(ctx, where, Options{})
	switch {
	case err != nil:
		return Examination{}, err
	case u.From == 0:
		return Examination{}, fmt.Errorf("%w in %s", ErrNowhere, Plainly(where))
	case u.Due():
		return Examination{}, fmt.Errorf("the yard has layout %d: this program looks through those of layout %d", u.From, u.To)
	}
	y := newYard(o)
	if y.objects, err = objectsOf(where, o); err != nil {
		return Examination{}, err
	}
	if y.postgres = IsPostgres(where); y.postgres {
		y.reading, err = dialPostgres(where)
	} else {
		y.reading, err = readingOnly(filepath.Join(where, FileName))
	}
	if err != nil {
		return Examination{}, err
	}
	y.writing = y.reading
	e, err := y.Examine(ctx)
	return e, errors.Join(err, y.Close())
}

// ExamineBackUp looks through a back-up file. Errors: one that SQLite finds damaged is
// no back-up; what is wrong in the yard it was made of is in the examination.
func ExamineBackUp(ctx context.Context, file string) (Examination, error) {
	if _, err := checkFile(ctx, file); err != nil {
		return Examination{}, err
	}
	db, err := readingOnly(file)
	if err != nil {
		return Examination{}, err
	}
	y := newYard(Options{})
	y.reading, y.writing = db, db
	e, err := y.Examine(ctx)
	for _, f := range e.Findings {
		if f.Kind == DamagedDatabase && err == nil {
			err = fmt.Errorf("%s is damaged: %s", file, f.Words)
		}
	}
	return e, errors.Join(err, y.Close())
}

func (y *Yard) examine(ctx context.Context, e *Examination, rowsOnly bool) error {
	sites, err := y.examineWhole(ctx, e)
	if err != nil {
		return err
	}
	for _, site := range sites {
		err := y.view(ctx, func(s session) error {
			f, err := readFacts(s, site)
			if err != nil {
				return err
			}
			e.Sites++
			e.Revisions += len(f.revisions)
			e.Findings = append(e.Findings, f.findings()...)
			return nil
		})
		if err != nil {
			return fmt.Errorf("site %s: %w", site, err)
		}
	}
	if rowsOnly {
		return nil
	}
	return y.examinePhotos(ctx, e)
}

// examineWhole looks at what is no single site's, and lists the sites.
func (y *Yard) examineWhole(ctx context.Context, e *Examination) (sites []string, err error) {
	found := func(kind, subject string, mends bool, format string, values ...any) {
		e.Findings = append(e.Findings, Finding{kind, subject, fmt.Sprintf(format, values...), mends})
	}
	err = y.view(ctx, func(s session) error {
		if !y.postgres {
			said, err := s.texts("PRAGMA integrity_check(100)")
			if err != nil {
				return err
			}
			for _, line := range said {
				switch {
				case line == "ok":
				case indexFault.MatchString(line):
					m := indexFault.FindStringSubmatch(line)
					found(DamagedIndex, m[1]+m[2], true, "%s", line)
				default:
					found(DamagedDatabase, FileName, false, "%s", line)
				}
			}
		}
		lacking, err := s.indexesLacking()
		if err != nil {
			return err
		}
		for _, name := range slices.Sorted(maps.Keys(lacking)) {
			found(DamagedIndex, name, true, "the index is not there")
		}
		fault, err := s.searchFault()
		if err != nil {
			return err
		}
		if fault != "" {
			found(DamagedIndex, searchIndex, true, "%s", fault)
		}
		var known int
		if err := s.row("SELECT COUNT(*) FROM identity WHERE name IN ('yard', 'generation') AND value <> ''", nil, &known); err != nil {
			return err
		}
		if known != 2 {
			found(DamagedIdentity, "identity", true, "the yard does not know who it is")
		}
		count, most, err := s.turns()
		if err != nil {
			return err
		}
		if count < most {
			found(DamagedTurn, "counters", true, "%d changes are counted, and one has the number %d", count, most)
		}
		for _, o := range orphans {
			names, err := s.texts("SELECT DISTINCT " + o.subject + " FROM " + o.table + " WHERE " + o.where + " ORDER BY 1")
			if err != nil {
				return err
			}
			for _, n := range names {
				found(Orphan, n, true, "%s", o.words)
			}
		}
		listed, err := s.texts("SELECT id FROM sites JOIN deletions ON site = id WHERE sites.turn > 0 ORDER BY id")
		for _, n := range listed {
			found(DamagedDeletion, n, true, "the site is deleted and stands in the list")
		}
		if err != nil {
			return err
		}
		sites, err = s.texts("SELECT site FROM revisions UNION SELECT id FROM sites ORDER BY 1")
		return err
	})
	return sites, err
}

// indexFault is how SQLite says that an index does not fit its table.
var indexFault = regexp.MustCompile(`(?:in|from) index (\w+)|FTS5 table main\.(\w+)`)

// orphans are rows that belong to nothing that is here; taking them out loses nothing.
var orphans = []struct{ table, subject, where, words string }{
	{"pieces", "photo", "NOT EXISTS (SELECT 1 FROM photos WHERE id = photo)", "parts of a photo that is not there"},
	{"parents", "child", "NOT EXISTS (SELECT 1 FROM revisions WHERE name = child)",
		"it is noted what a version came from that is not there"},
	{"heads", "name", "NOT EXISTS (SELECT 1 FROM revisions WHERE name = heads.name)",
		"a version that is not there is noted as a newest one"},
	{"site_photos", "site", "NOT EXISTS (SELECT 1 FROM revisions WHERE revisions.site = site_photos.site)",
		"photos of a site that is not there"},
	{"marks", "site", "NOT EXISTS (SELECT 1 FROM sites WHERE id = site)", "marks of a site that is not there"},
}

// indexesLacking gives the statements that make the indexes that are not there.
func (s session) indexesLacking() (map[string]string, error) {
	query := "SELECT name FROM sqlite_master WHERE type = 'index'"
	if s.postgres {
		query = "SELECT indexname::text FROM pg_indexes WHERE schemaname = current_schema()"
	}
	here, err := s.texts(query)
	if err != nil {
		return nil, err
	}
	out := map[string]string{}
	for _, step := range migrations {
		for _, m := range createIndex.FindAllStringSubmatch(step, -1) {
			if !slices.Contains(here, m[1]) {
				out[m[1]] = m[0]
			}
		}
	}
	return out, nil
}

var createIndex = regexp.MustCompile(`CREATE (?:UNIQUE )?INDEX (\w+) ON [^;]+`)

// turns returns how many changes are counted, and the greatest number that one has.
func (s session) turns() (count, most int64, err error) {
	if err = s.row("SELECT COALESCE(MAX(value), 0) FROM counters WHERE name = 'turn'", nil, &count); err != nil {
		return 0, 0, err
	}
	err = s.row(`SELECT MAX(n) FROM (SELECT COALESCE(MAX(turn), 0) AS n FROM sites UNION ALL
		SELECT COALESCE(MAX(noted), 0) FROM sites UNION ALL
		SELECT COALESCE(MAX(turn), 0) FROM revisions UNION ALL SELECT COALESCE(MAX(turn), 0) FROM deletions
		UNION ALL SELECT COALESCE(MAX(turn), 0) FROM shop_rules) AS all_turns`, nil, &most)
	return count, most, err
}

// facts is what is kept of a site, and what it should be.
type facts struct {
	site      string
	revisions map[storage.Revision]*revisionFacts
	names     []storage.Revision // in order
	heads     []string
	shown     []string
	line      *siteLine // nil: there is none
	far       int       // its step, by the heads that are noted; noFar where none can be told
	deleted   bool
}

type revisionFacts struct {
	parents  []storage.Revision
	waiting  bool
	turn     int64
	photos   []string
	lines    siteLines
	sound    bool               // the bytes are those of the name
	form     error              // why they are no document of the site all the same
	inFact   []storage.Revision // parents by which the name is right, where those noted are wrong
	foreign  []storage.Revision // parents that are another site's
	letIn    bool               // all it came from is here
	children int                // that are let in
}

// siteLine is a row of the list of sites.
type siteLine struct {
	siteLines
	search       string
	turn         int64
	far, farTurn int64
}

// readFacts reads a site, with all its bytes, one version at a time.
func readFacts(s session, site string) (*facts, error) {
	f := &facts{site: site, revisions: map[storage.Revision]*revisionFacts{}}
	type bad struct {
		name storage.Revision
		text []byte
	}
	var wrong []bad
	parents := map[storage.Revision][]storage.Revision{}
	err := s.rows("SELECT child, parent FROM parents WHERE site = ? ORDER BY child, parent", []any{site},
		func(scan func(...any) error) error {
			var child, parent storage.Revision
			err := scan(&child, &parent)
			parents[child] = append(parents[child], parent)
			return err
		})
	if err != nil {
		return nil, err
	}
	err = s.rows("SELECT name, text, waiting, turn FROM revisions WHERE site = ? ORDER BY name", []any{site},
		func(scan func(...any) error) error {
			var name storage.Revision
			var text []byte
			var waiting int
			r := &revisionFacts{}
			if err := scan(&name, &text, &waiting, &r.turn); err != nil {
				return err
			}
			r.waiting, r.parents, r.photos = waiting != 0, parents[name], photosIn(text)
			f.revisions[name] = r
			f.names = append(f.names, name)
			if r.sound = storage.NameRevision(text, r.parents...) == name; r.sound {
				r.lines, r.form = checkRevision(site, name, r.parents, text)
			} else {
				wrong = append(wrong, bad{name, text})
			}
			return nil
		})
	if err != nil {
		return nil, err
	}
	for _, w := range wrong {
		r := f.revisions[w.name]
		if found, ok := f.parentsByName(w.name, w.text); ok {
			r.inFact, r.sound = found, true
			r.lines, r.form = checkRevision(site, w.name, found, w.text)
		}
	}
	for _, r := range f.revisions {
		for _, p := range r.cameFrom() {
			if f.revisions[p] != nil {
				continue
			}
			other, err := s.texts("SELECT site FROM revisions WHERE name = ?", string(p))
			if err != nil {
				return nil, err
			}
			if len(other) > 0 {
				r.foreign = append(r.foreign, p)
			}
		}
	}
	f.letIn()
	if f.heads, err = s.texts("SELECT name FROM heads WHERE site = ? ORDER BY name", site); err != nil {
		return nil, err
	}
	if f.shown, err = s.texts("SELECT photo FROM site_photos WHERE site = ? ORDER BY photo", site); err != nil {
		return nil, err
	}
	deleted, err := s.texts("SELECT site FROM deletions WHERE site = ?", site)
	if err != nil {
		return nil, err
	}
	f.deleted = len(deleted) > 0
	l := siteLine{}
	err = s.row("SELECT name, address, client, surveyor, created, changed, photos, search, turn, far, far_turn FROM sites WHERE id = ?",
		[]any{site}, &l.name, &l.address, &l.client, &l.surveyor, &l.created, &l.changed, &l.photos, &l.search, &l.turn,
		&l.far, &l.farTurn)
	if err == nil {
		f.line = &l
	} else if errors.Is(err, ErrNotFound) {
		err = nil
	}
	if err == nil {
		f.far, err = s.readFar(site)
	}
	return f, err
}

// cameFrom are the parents that a revision has by its name, as far as that can be told.
func (r *revisionFacts) cameFrom() []storage.Revision {
	if r.inFact != nil {
		return r.inFact
	}
	return r.parents
}

// mostTried bounds how many pairs of parents are tried for a name.
const mostTried = 60

// parentsByName finds the parents by which bytes have their name, where it is not known
// which they are: none, one or two versions of the same site.
func (f *facts) parentsByName(name storage.Revision, text []byte) ([]storage.Revision, bool) {
	if storage.NameRevision(text) == name {
		return []storage.Revision{}, true
	}
	var others []storage.Revision
	for _, n := range f.names {
		if n != name {
			others = append(others, n)
		}
	}
	for _, p := range others {
		if storage.NameRevision(text, p) == name {
			return []storage.Revision{p}, true
		}
	}
	for i, p := range others[:min(len(others), mostTried)] {
		for _, q := range others[i+1 : min(len(others), mostTried)] {
			if both := []storage.Revision{p, q}; storage.NameRevision(text, both...) == name {
				return both, true
			}
		}
	}
	return nil, false
}

// letIn finds which revisions have all that they came from.
func (f *facts) letIn() {
	for again := true; again; {
		again = false
		for _, n := range f.names {
			r := f.revisions[n]
			// One that was let in once stays so: what it came from was here.
			if !r.letIn && (!r.waiting || len(f.lacking(r)) == 0) {
				r.letIn, again = true, true
			}
		}
	}
	for _, n := range f.names {
		if r := f.revisions[n]; r.letIn {
			for _, p := range r.cameFrom() {
				if of := f.revisions[p]; of != nil {
					of.children++
				}
			}
		}
	}
}

// lacking are the parents of a revision that are not here, or wait themselves.
func (f *facts) lacking(r *revisionFacts) []storage.Revision {
	var out []storage.Revision
	for _, p := range r.cameFrom() {
		if of := f.revisions[p]; of == nil || !of.letIn {
			out = append(out, p)
		}
	}
	return out
}

// newest are the heads as they should be.
func (f *facts) newest() []string {
	var out []string
	for _, n := range f.names {
		if r := f.revisions[n]; r.letIn && r.children == 0 {
			out = append(out, string(n))
		}
	}
	return out
}

// showing are the photos as they should be noted.
func (f *facts) showing() []string {
	shown := map[string]bool{}
	newest := f.newest()
	for _, n := range f.names {
		r := f.revisions[n]
		if !r.letIn || slices.Contains(newest, string(n)) {
			for _, p := range r.photos {
				shown[p] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(shown))
}

// lineFits reports whether the line of the list is that of a newest version.
func (f *facts) lineFits() bool {
	newest, read := f.newest(), 0
	for _, n := range newest {
		r := f.revisions[storage.Revision(n)]
		if !r.sound || r.form != nil {
			continue
		}
		read++
		if f.line.siteLines == r.lines && f.line.search == searchable(r.lines, f.site) {
			return true
		}
	}
	return read == 0 // none can be compared with
}

// farFits reports whether the step in the list, where one was told, is that of the site.
func (f *facts) farFits() bool {
	return f.line.far < 0 || f.far < 0 || f.line.farTurn != f.line.turn || f.line.far == int64(f.far)
}

// findings says in what a site is not as it should be.
func (f *facts) findings() []Finding {
	var out []Finding
	found := func(kind, subject string, mends bool, format string, values ...any) {
		out = append(out, Finding{kind, subject, "site " + f.site + ": " + fmt.Sprintf(format, values...), mends})
	}
	for _, n := range f.names {
		r := f.revisions[n]
		switch {
		case !r.sound:
			found(DamagedRevision, string(n), false, "the bytes of a version are not those of its name; after repair a device that has it sends it again")
		case r.inFact != nil:
			found(DamagedParents, string(n), true, "a version did not come from what is noted")
		case r.form != nil:
			found(DamagedForm, string(n), false, "a version is no document of the site: %v", r.form)
		}
		for _, p := range r.foreign {
			found(DamagedParents, string(n), false, "a version came from one of another site, %s", p)
		}
		lacking := f.lacking(r)
		switch {
		case r.waiting && r.letIn:
			found(DamagedWaiting, string(n), true, "a version waits although all that it came from is here")
		case !r.waiting && len(lacking) > 0:
			found(MissingParent, string(n), false, "a version came from %s, which is not here", join(lacking))
		}
		if r.letIn && !r.waiting && r.turn == 0 || r.waiting && r.turn > 0 {
			found(DamagedTurn, string(n), true, "a version has the number %d", r.turn)
		}
	}
	newest := f.newest()
	if !slices.Equal(f.heads, newest) {
		found(DamagedHeads, f.site, true, "%d newest versions are noted, and they should be %d others or not these", len(f.heads),
			len(newest))
	}
	switch {
	case f.line == nil && len(f.names) > 0:
		found(DamagedLine, f.site, true, "it is not in the list")
	case f.line == nil:
	case len(f.names) == 0:
		found(Orphan, f.site, true, "it is in the list, and no version of it is here")
	case len(newest) > 0 && f.line.turn == 0 && !f.deleted:
		found(DamagedLine, f.site, true, "it is not in the list, and not deleted")
	case !f.lineFits():
		found(DamagedLine, f.site, true, "the line in the list is not that of a newest version")
	case f.line.turn > 0 && !f.farFits():
		found(DamagedLine, f.site, true, "the step in the list is not that of the newest version")
	}
	if shown := f.showing(); !slices.Equal(f.shown, shown) {
		found(DamagedShown, f.site, true, "%d photos are noted as shown, and they should be %d others or not these", len(f.shown),
			len(shown))
	}
	return out
}

func join(names []storage.Revision) string {
	texts := make([]string, len(names))
	for i, n := range names {
		texts[i] = string(n)
	}
	return strings.Join(texts, " and ")
}
