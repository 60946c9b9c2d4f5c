package yard

import (
	"bytes"
	"context"
	"encoding/json"
	"slices"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/engine/sorting"
	"pegpour/storage"
	"pegpour/storage/canonical"
)

// PersonSite is a site that holds something of a person.
type PersonSite struct {
	Site    string `json:"site"`
	Name    string `json:"name"`
	Deleted string `json:"deleted"` // when it was deleted, "" when it was not
	// Places are where the person stands in it, as paths of the document, in any of its
	// versions; Now are those of them that the newest ones have.
	Places []string `json:"places"`
	Now    []string `json:"now"`
}

// Person is what the yard holds of a person.
type Person struct {
	Sites   []PersonSite `json:"sites"`
	Devices []Device     `json:"devices"` // whose name has the words
}

// minPerson is the fewest letters a person is looked for by.
const minPerson = 3

// minDigits is the fewest digits that words are taken for a telephone number by.
const minDigits = 6

// person is what a person is looked for by.
type person struct{ words, digits string }

func personOf(words string) (person, error) {
	p := person{words: strings.ToLower(strings.TrimSpace(words))}
	if len([]rune(p.words)) < minPerson || len(p.words) > 200 {
		return p, invalid("a person is looked for by {0} to {1} letters or digits", refusal.Count(minPerson), refusal.Count(200))
	}
	if d := digitsOf(p.words); len(d) >= minDigits {
		p.digits = d
	}
	return p, nil
}

// digitsOf returns the digits of a telephone number, "" for what is none.
func digitsOf(text string) string {
	if len(text) > 40 || strings.Trim(text, "0123456789 +-/().") != "" {
		return ""
	}
	return strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, text)
}

// in reports whether a text names the person.
func (p person) in(text string) bool {
	return strings.Contains(strings.ToLower(text), p.words) || p.digits != "" && strings.Contains(digitsOf(text), p.digits)
}

// written is how text stands inside a document, without its quotes.
func written(text string) string {
	b, err := canonical.Marshal(text)
	if err != nil || len(b) < 2 {
		return text
	}
	return string(b[1 : len(b)-1])
}

// find lists the places of a document at which the person stands, and has each replaced
// by what replace gives, which may be nil. Names that the program gave are none.
func (p person) find(tree any, replace func() any) []string {
	var places []string
	var look func(at string, v any, set func(any))
	look = func(at string, v any, set func(any)) {
		switch v := v.(type) {
		case string:
			if p.in(v) {
				if places = append(places, at); replace != nil {
					set(replace())
				}
			}
		case []any:
			for i := range v {
				name := itoa(i)
				if entry, ok := v[i].(map[string]any); ok {
					if id, ok := entry["id"].(string); ok {
						name = "@" + id
					}
				}
				look(at+"/"+name, v[i], func(to any) { v[i] = to })
			}
		case map[string]any:
			for key := range v {
				if key == "id" || at == "" && (key == "format" || key == "created" || key == "changed") {
					continue
				}
				look(at+"/"+key, v[key], func(to any) { v[key] = to })
			}
		}
	}
	look("", tree, func(any) {})
	slices.Sort(places)
	return places
}

// Person finds a person by name or telephone number: in every version of every site,
// of deleted ones too that can be brought back, and in the names of devices. It reads
// the whole yard. Errors: *InvalidError.
func (y *Yard) Person(ctx context.Context, words string) (Person, error) {
	out := Person{Sites: []PersonSite{}, Devices: []Device{}}
	p, err := personOf(words)
	if err != nil {
		return out, err
	}
	inside := []byte(strings.ToLower(written(p.words)))
	err = y.view(ctx, func(s session) error {
		sites := map[string]*PersonSite{}
		err := s.rows(`SELECT r.site, r.text, sites.name, COALESCE(d.at, ''),
			CASE WHEN EXISTS (SELECT 1 FROM heads h WHERE h.site = r.site AND h.name = r.name) THEN 1 ELSE 0 END
			FROM revisions r JOIN sites ON sites.id = r.site LEFT JOIN deletions d ON d.site = r.site`, nil,
			func(scan func(...any) error) error {
				var here PersonSite
				var text []byte
				var newest int
				if err := scan(&here.Site, &text, &here.Name, &here.Deleted, &newest); err != nil {
					return err
				}
				if p.digits == "" && !bytes.Contains(bytes.ToLower(text), inside) {
					return nil
				}
				var tree any
				if json.Unmarshal(text, &tree) != nil {
					return nil // cannot be: it was checked when it came
				}
				places := p.find(tree, nil)
				if len(places) == 0 {
					return nil
				}
				at := sites[here.Site]
				if at == nil {
					at = &here
					at.Now = []string{}
					sites[here.Site] = at
				}
				at.Places = append(at.Places, places...)
				if newest != 0 {
					at.Now = append(at.Now, places...)
				}
				return nil
			})
		if err != nil {
			return err
		}
		for _, at := range sites {
			at.Places = slices.Compact(slices.Sorted(slices.Values(at.Places)))
			at.Now = slices.Compact(slices.Sorted(slices.Values(at.Now)))
			out.Sites = append(out.Sites, *at)
		}
		sorting.By(out.Sites, func(a, b PersonSite) int { return strings.Compare(a.Name+a.Site, b.Name+b.Site) })
		return nil
	})
	if err != nil {
		return out, err
	}
	devices, err := y.Devices(ctx)
	for _, d := range devices {
		if p.in(d.Name) {
			out.Devices = append(out.Devices, d)
		}
	}
	return out, err
}

// PersonVersion is one version of a site in an export.
type PersonVersion struct {
	Revision storage.Revision `json:"revision"`
	Received string           `json:"received"`
	Device   string           `json:"device"`
	Document json.RawMessage  `json:"document"`
}

// PersonExport is all that the yard holds of a person, to be handed out: the sites with
// every version, and the photos they show, by their SHA-256.
type PersonExport struct {
	Person
	Versions map[string][]PersonVersion `json:"versions"` // by site, in the order in which they came
	Photos   map[string][]string        `json:"photos"`   // by site
}

// ExportPerson is Person with what is held. Errors: *InvalidError.
func (y *Yard) ExportPerson(ctx context.Context, words string) (PersonExport, error) {
	out := PersonExport{Versions: map[string][]PersonVersion{}, Photos: map[string][]string{}}
	var err error
	if out.Person, err = y.Person(ctx, words); err != nil {
		return out, err
	}
	return out, y.view(ctx, func(s session) error {
		for _, at := range out.Sites {
			out.Versions[at.Site], out.Photos[at.Site] = nil, []string{}
			err := s.rows("SELECT name, received, device, text FROM revisions WHERE site = ? ORDER BY turn, received, name",
				[]any{at.Site}, func(scan func(...any) error) error {
					var v PersonVersion
					var text []byte
					err := scan(&v.Revision, &v.Received, &v.Device, &text)
					v.Document = text
					out.Versions[at.Site] = append(out.Versions[at.Site], v)
					for _, p := range photosIn(text) {
						if !slices.Contains(out.Photos[at.Site], p) {
							out.Photos[at.Site] = append(out.Photos[at.Site], p)
						}
					}
					return err
				})
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// ErasePerson takes a person out of a site for good: the site is deleted and purged at
// once, older versions too. With keep, what is left of its newest version without the
// person first becomes a site of its own, the first version of a new history, and its
// identity is returned: a version is named by the SHA-256 of its bytes and of what it
// came from, so that no history can be kept without a line of it, and what phones hold
// of the old one would bring the name back. Phones delete the old site at their next
// contact; the new one is brought to them like any other site of the yard. A telephone
// number beside the person's name as client goes too.
//
// Back-ups made before still hold the person. Errors: ErrNotFound, *GoneError,
// *InvalidError for a site of several versions or of a newer program that is to be kept.
func (y *Yard) ErasePerson(ctx context.Context, device, site, words string, keep bool) (storage.Revision, string, error) {
	p, err := personOf(words)
	if err != nil {
		return "", "", err
	}
	var heir string
	var name storage.Revision
	if keep {
		line, err := y.Site(ctx, site)
		if err != nil {
			return "", "", err
		}
		if len(line.Heads) != 1 {
			return "", "", invalid("the site has several versions: bring them together first")
		}
		text, _, err := y.Revision(ctx, site, line.Heads[0])
		if err != nil {
			return "", "", err
		}
		// The same if it is done again after a fault.
		heir = storage.HeirOf(site, "without "+line.Heads[0])
		if text, err = p.erased(text, heir); err != nil {
			return "", "", err
		}
		name = storage.NameRevision(text)
		if _, err := y.PutRevision(ctx, device, heir, name, nil, text); err != nil {
			return "", "", err
		}
		for _, m := range line.Marks {
			if _, err := y.SetMark(ctx, device, heir, m.Mark, nil); err != nil {
				return "", "", err
			}
		}
	}
	if _, err := y.DeleteSite(ctx, device, site); err != nil {
		return "", "", err
	}
	_, err = y.Purge(ctx, site)
	return name, heir, err
}

// erased returns a document of another identity without the person.
func (p person) erased(text []byte, id string) ([]byte, error) {
	parsed, err := canonical.Parse(text, canonical.Limits{Bytes: storage.MaxDocumentBytes, Depth: storage.MaxDocumentDepth})
	tree, ok := parsed.(map[string]any)
	if err != nil || !ok {
		return nil, invalid("the site cannot be read")
	}
	places := p.find(tree, func() any { return "" })
	if slices.Contains(places, "/survey/site/client") {
		if survey, ok := tree["survey"].(map[string]any); ok {
			if at, ok := survey["site"].(map[string]any); ok {
				delete(at, "phone")
			}
		}
	}
	tree["id"] = id
	if text, err = canonical.Marshal(tree); err != nil {
		return nil, invalid("the site cannot be read")
	}
	d, err := storage.Decode(text) // takes out what is empty now
	if err != nil {
		return nil, &InvalidError{refusal.Of(err)}
	}
	return storage.Encode(d)
}
