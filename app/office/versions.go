package office

import (
	"context"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// versionChoice is two newest versions between which a person has to choose.
type versionChoice struct {
	read      bool
	heads     []storage.Revision // the two
	merged    *storage.Document  // what needs no choice
	conflicts []storage.Conflict
	theirs    map[string]bool // the choice for each path
}

// readVersions reads the first two of several heads and what they came from.
func (s *officeSiteScreen) readVersions() {
	id, heads := s.id, slices.Clone(s.o.line.Heads[:2])
	var v versionChoice
	lineage := replication.Lineage{}
	for i := range s.past {
		if p := &s.past[i]; !p.Waiting {
			lineage[storage.Revision(p.Revision)] = revisions(p.Parents)
		}
	}
	s.o.ask(func(c context.Context) (err error) {
		v.merged, v.conflicts, err = replication.JoinWithConflicts(lineage,
			func(name storage.Revision) (*storage.Document, error) { return s.o.revision(c, id, string(name)) },
			storage.Revision(heads[0]), storage.Revision(heads[1]))
		return err
	}, func(app.Context) {
		if s.id != id {
			return // another site is on the screen by now
		}
		v.read, v.theirs = true, map[string]bool{}
		v.heads = revisions(heads)
		s.versions = v
	})
}

func revisions(names []string) []storage.Revision {
	all := make([]storage.Revision, len(names))
	for i := range names {
		all[i] = storage.Revision(names[i])
	}
	return all
}

// senderOf names who sent a revision, and when.
func (s *officeSiteScreen) senderOf(name storage.Revision) string {
	for i := range s.past {
		if s.past[i].Revision == string(name) {
			return s.o.nameOf(s.past[i].Device) + ", " + s.o.w.LocalTime(s.past[i].Received)
		}
	}
	return string(name[:min(len(name), 8)])
}

// versionPanel puts two versions side by side, field by field.
func (s *officeSiteScreen) versionPanel() app.UI {
	v := &s.versions
	if !v.read || s.older() {
		return app.Text("")
	}
	first, second := s.senderOf(v.heads[0]), s.senderOf(v.heads[1])
	return element.Region("section", "correction versions", s.o.w.Say("Two versions"),
		element.Text("h2", "", s.o.w.Say("Two versions of this site: a person has to choose")),
		element.Text("p", "",
			s.o.w.Say("Both changed the same fields, each in its own way. Both stay in the history whatever is chosen. What only one of them changed is taken over already.")),
		app.Range(v.conflicts).Slice(func(i int) app.UI {
			c := v.conflicts[i]
			theirs, chosen := v.theirs[c.Path]
			option := func(take bool, who string, raw []byte) app.UI {
				here := chosen && theirs == take
				class := "choice"
				if here {
					class = "choice here"
				}
				return app.Button().Type("button").Class(class).
					Aria("pressed", map[bool]string{true: "true", false: "false"}[here]).
					DataSet("choose", map[bool]string{true: "second", false: "first"}[take]).
					OnClick(func(app.Context, app.Event) { v.theirs[c.Path] = take }, c.Path, take, joinHeads(v.heads)).
					Body(element.Box("span", "",
						element.Text("strong", "",
							ui.RawWords(s.site,
								ui.FieldOfPath(c.Path), raw)),
						element.Text("span", "quiet office-who", who)))
			}
			return element.Box("div", "version",
				element.Text("h3", "", s.o.w.SayName(c.Name)),
				element.Text("p", "quiet", s.o.w.SayWith("Before: {0}", ui.RawWords(s.site, ui.FieldOfPath(c.Path), c.Base))),
				element.Acting("div", "version-sides", "group", s.o.w.SayName(c.Name), option(false, first, c.Ours), option(true, second, c.Theirs)))
		}),
		element.Box("div", "sign-in-do",
			app.Button().Type("button").Class("primary").DataSet("do", "settle").
				Disabled(s.sending || len(v.theirs) < len(v.conflicts)).
				Text(s.o.w.Say("Make one version")).OnClick(func(app.Context, app.Event) { s.mergeVersions() })),
		app.If(len(v.theirs) < len(v.conflicts),
			element.Status("p", "quiet", "status", s.o.w.SayCount(len(v.conflicts)-len(v.theirs), "One field is still to be chosen.",
				"{0} fields are still to be chosen."))),
	)
}

// mergeVersions makes one version of both and sends it.
func (s *officeSiteScreen) mergeVersions() {
	v := &s.versions
	d := v.merged
	for _, c := range v.conflicts {
		var err error
		if d, err = storage.Apply(d, c.Choose(v.theirs[c.Path])); err != nil {
			s.o.problem = s.o.w.StoreErrorWords(err)
			return
		}
	}
	one := *d
	one.Changed = editing.Now()
	s.sendRevision(&one, v.heads, func(storage.Revision) { s.read() })
}

func joinHeads(names []storage.Revision) string {
	var b strings.Builder
	for _, n := range names {
		b.WriteString(string(n))
	}
	return b.String()
}
