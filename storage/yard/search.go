package yard

import (
	"context"
	"slices"
	"strings"
	"unicode/utf8"
)

// What is found by an index goes by three letters in a row, of which SQLite and PostgreSQL
// each keep where they stand: see layout6. An index says where to look; each site that it
// names is held against the words as without one, so that the answer is the same.

// fewFound bounds how many sites an index is asked for. More of them lie so close that
// going through the list, the newest first, comes to a page as soon.
var fewFound = 2000 // fewer for tests

// sought is a query for the identities of sites among which all are that a list can show.
type sought struct {
	query string
	args  []any
}

// gramsOf lists what is three letters long in a word, each once; none where the word is
// shorter, or nothing that a text can hold.
func gramsOf(word string) []string {
	r := []rune(word)
	if !utf8.ValidString(word) || strings.ContainsRune(word, 0) {
		return nil
	}
	var all []string
	for n := 0; n+3 <= len(r); n++ {
		all = append(all, string(r[n:n+3]))
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// maxGrams bounds of what a query of an index is made up; more hardly narrow it.
const maxGrams = 48

// withGrams finds the sites that have all of these three letters in a row.
func (s session) withGrams(grams []string) sought {
	grams = grams[:min(len(grams), maxGrams)]
	if s.postgres {
		return sought{"SELECT site FROM site_texts WHERE grams @> ?::text[]", []any{grams}}
	}
	quoted := make([]string, len(grams))
	for i, g := range grams {
		quoted[i] = `"` + strings.ReplaceAll(g, `"`, `""`) + `"`
	}
	return sought{"SELECT site FROM site_grams g CROSS JOIN site_texts t ON t.number = g.rowid WHERE site_grams MATCH ?",
		[]any{strings.Join(quoted, " ")}}
}

// fromDevices finds the sites of which one of these devices sent the last change.
func fromDevices(devices []string) sought {
	args := make([]any, len(devices))
	for i := range devices {
		args[i] = devices[i]
	}
	return sought{"SELECT id FROM sites WHERE turn > 0 AND device IN (?" + strings.Repeat(", ?", len(devices)-1) + ")", args}
}

func (a sought) or(b sought) sought {
	return sought{a.query + " UNION ALL " + b.query, append(slices.Clone(a.args), b.args...)}
}

// ofCrew finds the sites that are a crew's, and those that a device of it sent last.
func ofCrew(crew string) sought {
	return sought{`SELECT site FROM site_crews WHERE crew = ?
		UNION ALL SELECT id FROM sites WHERE turn > 0 AND device IN (SELECT id FROM devices WHERE crew = ?)`, []any{crew, crew}}
}

// narrowest returns the first of what is sought that finds few sites, if one does.
func (s session) narrowest(all []sought) (few sought, found bool, err error) {
	for _, one := range all {
		var n int
		err = s.row("SELECT COUNT(*) FROM (SELECT 1 FROM ("+one.query+") AS hits LIMIT "+itoa(fewFound+1)+") AS these", one.args, &n)
		if err != nil {
			return few, false, err
		}
		if n <= fewFound {
			return one, true, nil
		}
	}
	return few, false, nil
}

// searching adds the words of a search to a query of sites, and returns by what indexes
// they can be found.
func searching(s session, words []string, query string, args []any) (string, []any, []sought, error) {
	if len(words) == 0 {
		return query, args, nil, nil
	}
	named, err := deviceNames(s)
	if err != nil {
		return "", nil, nil, err
	}
	var all []sought
	var everywhere []string
	for _, word := range words {
		query += ` AND (search LIKE ? ESCAPE '\'`
		args = append(args, "%"+strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`).Replace(word)+"%")
		var devices []string
		for _, d := range named {
			if strings.Contains(d.name, word) {
				query += " OR sites.device = ?"
				args = append(args, d.id)
				devices = append(devices, d.id)
			}
		}
		query += ")"
		grams := gramsOf(word)
		switch {
		case len(grams) == 0:
		case len(devices) == 0:
			everywhere = append(everywhere, grams...)
		default:
			all = append(all, s.withGrams(grams).or(fromDevices(devices)))
		}
	}
	if len(everywhere) > 0 {
		all = append([]sought{s.withGrams(everywhere)}, all...)
	}
	return query, args, all, nil
}

// searchIndex is how findings name what is searched and counted by, as a whole.
const searchIndex = "site_grams"

// layout6Names are what the sixth layout's triggers and tables are called.
var layout6Names = []string{"site_texts", "sites_text_added", "sites_text_changed", "sites_text_gone", "sites_state_added",
	"marks_state_added", "marks_state_gone"}

// searchFault says what is wrong with what is searched and counted by, "" for nothing.
func (s session) searchFault() (string, error) {
	here, err := s.texts(s.pick1("SELECT name FROM sqlite_master WHERE type IN ('table', 'trigger')",
		`SELECT tablename::text FROM pg_tables WHERE schemaname = current_schema() UNION ALL SELECT tgname::text FROM pg_trigger
		WHERE tgrelid IN ('sites'::regclass, 'marks'::regclass)`))
	if err != nil {
		return "", err
	}
	for _, name := range append(layout6Names, s.names6()...) {
		if !slices.Contains(here, name) {
			return name + " is not there", nil
		}
	}
	wrong, err := s.texts("SELECT sites.id FROM sites LEFT JOIN site_texts t ON t.site = sites.id WHERE " +
		s.pick1("sites.search <> COALESCE(t.search, '')", "site_grams(sites.search) <> COALESCE(t.grams, '{}')") +
		" OR sites.state <> " + layout6StateOf("sites.id") +
		" UNION ALL SELECT site FROM site_texts WHERE NOT EXISTS (SELECT 1 FROM sites WHERE id = site) LIMIT 1")
	if err == nil && len(wrong) > 0 {
		return "it does not fit site " + wrong[0], nil
	}
	return "", err
}

func (d dialect) pick1(file, postgres string) string {
	if d.postgres {
		return postgres
	}
	return file
}

func (d dialect) names6() []string {
	return d.pick([]string{"site_grams", "site_texts_added", "site_texts_gone"}, nil)
}

// remakeSearch makes what is searched and counted by anew.
func (y *Yard) remakeSearch(s session) error {
	if err := s.each(y.pick(layout6UndoFile, layout6UndoPostgres)); err != nil {
		return err
	}
	return y.fillSixthLayout(s)
}

// forgetSearched has SQLite write anew where texts of before stand: what was taken out of
// the index is only marked there.
func (y *Yard) forgetSearched(ctx context.Context) error {
	if y.postgres {
		return nil
	}
	return y.update(ctx, func(s session) error { return s.exec("INSERT INTO site_grams (site_grams) VALUES ('optimize')") })
}
