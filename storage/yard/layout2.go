package yard

import (
	"encoding/json"
	"strings"
)

// fillSecondLayout fills the columns that the second layout added, from the first
// head of each site, as the program did that brought it. It stays as it is.
func (y *Yard) fillSecondLayout(s session) error {
	type line struct{ id, text string }
	var lines []line
	err := s.rows(`SELECT sites.id, r.text FROM sites JOIN revisions r ON r.name =
		(SELECT MIN(h.name) FROM heads h WHERE h.site = sites.id) WHERE sites.turn > 0 ORDER BY sites.id`, nil,
		func(scan func(...any) error) error {
			var id string
			var text []byte
			err := scan(&id, &text)
			lines = append(lines, line{id, string(text)})
			return err
		})
	if err != nil {
		return err
	}
	short := func(t string) string {
		t = strings.Map(func(r rune) rune {
			if r < ' ' || r == 0x7f {
				return ' '
			}
			return r
		}, strings.ToValidUTF8(t, ""))
		if r := []rune(t); len(r) > 200 {
			t = string(r[:200])
		}
		return strings.TrimSpace(t)
	}
	for _, l := range lines {
		var d struct {
			Survey struct {
				Site struct{ Name, Address, Client, MeasuredBy string }
			}
		}
		if err := json.Unmarshal([]byte(l.text), &d); err != nil {
			continue // of a form that this step does not know: the line stays as it was
		}
		at := d.Survey.Site
		sought := strings.ToLower(strings.Join([]string{short(at.Name), short(at.Address), short(at.Client),
			short(at.MeasuredBy), l.id}, " "))
		if err := s.exec("UPDATE sites SET surveyor = ?, search = ? WHERE id = ?", short(at.MeasuredBy), sought,
			l.id); err != nil {
			return err
		}
	}
	return nil
}
