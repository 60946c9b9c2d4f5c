package office

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/storage"
)

// The office brings two versions together as the yard and the phones do: where
// histories crossed, what only one of them changed since is taken over, and asked is
// only what somebody settled in another way.
func TestTheOfficeMergesAsTheYardDoes(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	d, first := b.addSite(survey.Survey{})
	path := "GET " + yardSitePath(d.ID)
	var past []yardPast
	keep := func(name, client string, parents ...storage.Revision) storage.Revision {
		one := *d
		one.Survey.Site.Name, one.Survey.Site.Client = name, client
		text, err := storage.Encode(&one)
		require.NoError(t, err)
		r := storage.NameRevision(text, parents...)
		b.yard.set(path+"/revisions/"+string(r), 200, text)
		p := yardPast{Revision: string(r), Device: "p1", Turn: int64(len(past) + 2)}
		for _, of := range parents {
			p.Parents = append(p.Parents, string(of))
		}
		past = append(past, p)
		return r
	}
	past = append(past, yardPast{Revision: string(first), Device: "p1", Turn: 1})
	one, two := keep("One", "", first), keep("Two", "old", first)
	m, n := keep("One", "new", one, two), keep("Two", "old", one, two)
	heads := []string{string(min(m, n)), string(max(m, n))}
	b.yard.set(path, 200, yardSite{ID: d.ID, Heads: heads})
	b.yard.set(path+"/revisions", 200, map[string]any{"revisions": past, "next": 0})
	s := b.open(d.ID)
	b.Until("the versions are read", func() bool { return s.versions.read || b.problem != "" })
	require.Empty(t, b.problem)
	require.Len(t, s.versions.conflicts, 1)
	assert.Equal(t, "/survey/site/name", s.versions.conflicts[0].Path)
	assert.Equal(t, "new", s.versions.merged.Survey.Site.Client)
}
