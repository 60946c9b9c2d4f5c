package yard

import "encoding/json"

// fillFourthLayout fills the table that the fourth layout added: which photos a site
// shows in its newest versions, and in those that wait. It stays as it is.
func (y *Yard) fillFourthLayout(s session) error {
	type text struct {
		site string
		text []byte
	}
	var all []text
	err := s.rows(`SELECT r.site, r.text FROM revisions r WHERE r.waiting = 1
		OR EXISTS (SELECT 1 FROM heads h WHERE h.site = r.site AND h.name = r.name) ORDER BY r.name`, nil,
		func(scan func(...any) error) error {
			var t text
			err := scan(&t.site, &t.text)
			all = append(all, t)
			return err
		})
	if err != nil {
		return err
	}
	for _, t := range all {
		var d struct{ Photos []struct{ ID string } }
		if json.Unmarshal(t.text, &d) != nil {
			continue // of a form that this step does not know
		}
		for _, p := range d.Photos {
			if err := s.exec("INSERT INTO site_photos (site, photo) VALUES (?, ?) ON CONFLICT (site, photo) DO NOTHING", t.site,
				p.ID); err != nil {
				return err
			}
		}
	}
	return nil
}
