package yard

import (
	"context"
	"errors"
	"maps"
	"slices"
)

// CrewsApart is the rule that says whether a new site is the crew's whose device sent it
// first (1), or everybody's (0). A site that is some crew's is shown to its crews only,
// and to the office and readers; one that is no crew's is shown to all.
const CrewsApart = "crews-apart"

// sees is the condition that a device sees a site, "" where it sees all; args go with it.
func (d Device) sees(site string) (condition string, args []any) {
	if d.Role != Crew || !d.shares {
		return "", nil
	}
	return " AND (NOT EXISTS (SELECT 1 FROM site_crews c WHERE c.site = " + site +
		") OR EXISTS (SELECT 1 FROM site_crews c WHERE c.site = " + site + " AND c.crew = ?))", []any{d.Crew}
}

// Sees reports whether a device may see a site; one that is not here it may.
func (y *Yard) Sees(ctx context.Context, d Device, site string) (bool, error) {
	if d.Role != Crew || !d.shares {
		return true, nil
	}
	crews, err := y.SiteCrews(ctx, site)
	return len(crews) == 0 || slices.Contains(crews, d.Crew), err
}

// SiteCrews lists the crews whose a site is, none where it is everybody's.
func (y *Yard) SiteCrews(ctx context.Context, site string) ([]string, error) {
	crews := []string{}
	err := y.view(ctx, func(s session) error {
		var err error
		crews, err = s.texts("SELECT crew FROM site_crews WHERE site = ? ORDER BY crew", site)
		return err
	})
	return append([]string{}, crews...), err
}

// SetSiteCrews says whose a site is from now on, none for everybody's; devices hear of it
// in the list of changes. Errors: ErrNotFound, *GoneError, *InvalidError.
func (y *Yard) SetSiteCrews(ctx context.Context, site string, crews []string) error {
	return y.update(ctx, func(s session) error {
		if err := gone(s, site); err != nil {
			return err
		}
		if err := s.row("SELECT 1 FROM sites WHERE id = ? AND turn > 0 FOR UPDATE", []any{site}, new(int)); err != nil {
			return err
		}
		return y.assign(s, site, crews)
	})
}

func (y *Yard) assign(s session, site string, crews []string) error {
	if err := s.exec("DELETE FROM site_crews WHERE site = ?", site); err != nil {
		return err
	}
	for _, c := range crews {
		if c = plain(c); c == "" {
			return invalid("a crew needs a name")
		}
		if err := s.exec("INSERT INTO site_crews (site, crew) VALUES (?, ?) ON CONFLICT (site, crew) DO NOTHING", site, c); err != nil {
			return err
		}
	}
	turn, err := s.turn()
	if err != nil {
		return err
	}
	// Its versions are the same, and so is its step, if it is known.
	return s.exec("UPDATE sites SET far_turn = CASE WHEN far_turn = turn THEN ? ELSE 0 END, turn = ? WHERE id = ?", turn, turn,
		site)
}

// Claim makes a site that a crew's device sent first that crew's, where the rule
// CrewsApart says so and it is nobody's yet.
func (y *Yard) Claim(ctx context.Context, d Device, site string) error {
	if d.Role != Crew || d.Crew == "" {
		return nil
	}
	r, err := y.Rules(ctx)
	if err != nil || !r.CrewsApart {
		return err
	}
	return y.update(ctx, func(s session) error {
		var first string
		err := s.row(`SELECT device FROM revisions WHERE site = ? AND waiting = 0 ORDER BY turn LIMIT 1`, []any{site}, &first)
		if errors.Is(err, ErrNotFound) || err == nil && first != d.ID {
			return nil
		}
		if err != nil {
			return err
		}
		taken, err := s.texts("SELECT crew FROM site_crews WHERE site = ?", site)
		if err != nil || len(taken) > 0 {
			return err
		}
		return y.assign(s, site, []string{d.Crew})
	})
}

// Crews lists the crews that some device or site is of.
func (y *Yard) Crews(ctx context.Context) ([]string, error) {
	var all []string
	err := y.view(ctx, func(s session) error {
		var err error
		all, err = s.texts(`SELECT crew FROM site_crews UNION SELECT crew FROM devices WHERE crew <> '' AND withdrawn = ''
			ORDER BY crew`)
		return err
	})
	return append([]string{}, all...), err
}

// Work counts the sites of one crew by how far they are.
type Work struct {
	Crew   string `json:"crew"` // "" for sites that are no crew's
	None   int    `json:"none"` // neither quoted nor poured
	Quoted int    `json:"quoted"`
	Poured int    `json:"poured"`
}

// workParts count the sites by crew and state: first all by the crew of the device that
// sent the last change, then, to be taken off, those of them that are crews' of their own,
// and those by their crews. The first is answered by an index alone.
var workParts = []struct {
	query string
	times int
}{
	{`SELECT COALESCE(d.crew, ''), g.state, CAST(SUM(g.n) AS BIGINT) FROM (SELECT device, state, COUNT(*) AS n FROM sites WHERE turn > 0
		GROUP BY device, state) g LEFT JOIN devices d ON d.id = g.device GROUP BY COALESCE(d.crew, ''), g.state`, 1},
	{`SELECT COALESCE(d.crew, ''), sites.state, COUNT(*) FROM (SELECT DISTINCT site FROM site_crews) c CROSS JOIN sites
		LEFT JOIN devices d ON d.id = sites.device WHERE sites.id = c.site AND sites.turn > 0
		GROUP BY COALESCE(d.crew, ''), sites.state`, -1},
	{`SELECT c.crew, sites.state, COUNT(*) FROM site_crews c CROSS JOIN sites WHERE sites.id = c.site AND sites.turn > 0
		GROUP BY c.crew, sites.state`, 1},
}

// WorkByCrew counts all sites by crew and state. A site of several crews counts for each;
// one that is no crew's counts for the crew of the device that sent its last change.
func (y *Yard) WorkByCrew(ctx context.Context) ([]Work, error) {
	work := []Work{}
	err := y.view(ctx, func(s session) error {
		counts := map[string]*[3]int{}
		for _, part := range workParts {
			if err := s.rows(part.query, nil, func(scan func(...any) error) error {
				var crew string
				var state, n int
				err := scan(&crew, &state, &n)
				if counts[crew] == nil {
					counts[crew] = new([3]int)
				}
				counts[crew][state] += part.times * n
				return err
			}); err != nil {
				return err
			}
		}
		work = work[:0]
		for _, crew := range slices.Sorted(maps.Keys(counts)) {
			if c := counts[crew]; c[0]+c[1]+c[2] > 0 {
				work = append(work, Work{crew, c[0], c[1], c[2]})
			}
		}
		return nil
	})
	return work, err
}
