package yard_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

// A person is found in every version of every site and in the names of devices; what is
// held is handed out, and goes, with the sites or without.
func people(t *testing.T, open func(yard.Options) *yard.Yard) {
	ctx := t.Context()
	y := open(yard.Options{})
	photo := putPhoto(t, y, 20)
	site := func(id string, set func(*storage.Document)) []byte { return document(t, id, set) }
	hers := func(d *storage.Document) {
		at := &d.Survey.Site
		at.Name, at.Client, at.Phone, at.MeasuredBy = "Mill Lane", "Ms. Hill", "+49 (0) 30 / 123-4567", "Ana"
		d.Notes = []storage.Note{{ID: "n", Text: "gate code of ms. hill"}, {ID: "m", Text: "dog"}}
		d.Photos = []storage.Photo{{ID: photo, Note: "post"}}
	}
	first, _ := put(t, y, "a", site("a", hers))
	put(t, y, "a", site("a", func(d *storage.Document) {
		hers(d)
		d.Notes = d.Notes[1:]
	}), first)
	_, err := y.SetMark(ctx, "d", "a", yard.Quoted, nil)
	require.NoError(t, err)
	old, _ := put(t, y, "b", site("b", func(d *storage.Document) { d.Survey.Site.MeasuredBy = "Ben Hillman" }))
	put(t, y, "b", site("b", func(d *storage.Document) { d.Survey.Site.Name = "B" }), old)
	put(t, y, "c", site("c", named("Uphill Road")))
	put(t, y, "d", site("d", named("Other")))
	code, _, err := y.NewCode(ctx, yard.Crew)
	require.NoError(t, err)
	_, _, err = y.Pair(ctx, code, "Ms. Hill's phone")
	require.NoError(t, err)

	found, err := y.Person(ctx, " MS. hill ")
	require.NoError(t, err)
	require.Len(t, found.Sites, 1)
	require.Len(t, found.Devices, 1)
	require.Equal(t, yard.PersonSite{Site: "a", Name: "Mill Lane", Now: []string{"/survey/site/client"},
		Places: []string{"/notes/@n/text", "/survey/site/client"}}, found.Sites[0])
	found, err = y.Person(ctx, "hill")
	require.NoError(t, err)
	require.Len(t, found.Sites, 3, "of an older version too")
	found, err = y.Person(ctx, "0301234567")
	require.NoError(t, err)
	require.Len(t, found.Sites, 1, "a number is found however it is written")
	require.Equal(t, []string{"/survey/site/phone"}, found.Sites[0].Now)
	found, err = y.Person(ctx, photo[:9])
	require.NoError(t, err)
	require.Empty(t, found.Sites, "the name of a photo is nobody")
	var invalid *yard.InvalidError
	_, err = y.Person(ctx, "ab")
	require.ErrorAs(t, err, &invalid)

	all, err := y.ExportPerson(ctx, "ms. hill")
	require.NoError(t, err)
	require.Len(t, all.Versions["a"], 2)
	require.Equal(t, []string{photo}, all.Photos["a"])
	text, err := json.Marshal(all)
	require.NoError(t, err)
	require.Contains(t, string(text), "gate code of ms. hill")

	_, heir, err := y.ErasePerson(ctx, "", "a", "ms. hill", true)
	require.NoError(t, err)
	found, err = y.Person(ctx, "ms. hill")
	require.NoError(t, err)
	require.Empty(t, found.Sites)
	_, err = y.Site(ctx, "a")
	isGone(t, err)
	kept, err := y.Site(ctx, heir)
	require.NoError(t, err)
	require.Equal(t, []string{"Mill Lane", ""}, []string{kept.Name, kept.Client})
	require.Len(t, kept.Marks, 1)
	bytes, _, err := y.Revision(ctx, heir, kept.Heads[0])
	require.NoError(t, err)
	doc, err := storage.Decode(bytes)
	require.NoError(t, err)
	require.Empty(t, doc.Survey.Site.Phone, "the client's")
	require.Equal(t, "Ana", doc.Survey.Site.MeasuredBy)
	_, _, err = y.PhotoBytes(ctx, photo)
	require.NoError(t, err)
	past, err := y.History(ctx, heir, 0, 0)
	require.NoError(t, err)
	require.Len(t, past, 1)

	_, _, err = y.ErasePerson(ctx, "", "b", "hillman", false)
	require.NoError(t, err)
	found, err = y.Person(ctx, "hillman")
	require.NoError(t, err)
	require.Empty(t, found.Sites)
	_, _, err = y.ErasePerson(ctx, "", "b", "hillman", true)
	isGone(t, err)
	sites, err := y.Sites(ctx, yard.Query{})
	require.NoError(t, err)
	require.Len(t, sites, 3)
}
