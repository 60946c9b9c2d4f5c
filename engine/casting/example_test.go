package casting

import (
	"encoding/json"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/pegs"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage/demo"
)

// TestWorkedJob reads the page of the job worked out by hand, from the pegs to the
// packers: each line of arithmetic must hold to the last digit printed, and each value
// of the last table must be what the engine gives for the survey beside it.
func TestWorkedJob(t *testing.T) {
	file, err := os.ReadFile("../../testdata/example/built.json")
	require.NoError(t, err)
	var document struct{ Survey survey.Survey }
	require.NoError(t, json.Unmarshal(file, &document))
	sites := demo.Sites()
	s, rules := document.Survey, practice.DefaultPractice()
	half := slices.IndexFunc(sites, func(d demo.Site) bool { return len(d.Ticks) > 0 })
	require.Equal(t, sites[half].Survey, s, "the demo site is the one on the page")
	made, err := engine.Design(s, rules)
	require.NoError(t, err)

	got := map[string]float64{}
	set := pegs.Judge(&s, &made, &rules)
	for i := range set.Pegs {
		got["pegs."+set.Pegs[i].Name+".along"], got["pegs."+set.Pegs[i].Name+".out"] = set.Pegs[i].Along, set.Pegs[i].Out
	}
	require.Equal(t, []pegs.Verdict{pegs.Within, pegs.Off}, []pegs.Verdict{set.Pegs[0].Verdict, set.Pegs[1].Verdict})
	assert.Equal(t, "Move it 22 mm towards the latch post.", set.Pegs[1].Move.String())
	forms := ReadForms(s, &made, rules)
	got["forms.5700.up"], got["forms.7600.up"] = forms.Tops[1].Up, forms.Tops[2].Up
	assert.Equal(t, []bool{true, false, true}, []bool{forms.Tops[0].Within, forms.Tops[1].Within, forms.Tops[2].Within})
	dug := ReadDug(s, &made, rules)
	got["dug.strip.mean"], got["dug.concrete"], got["dug.order"] = dug.Parts[0].Mean, dug.Concrete/1e6, dug.Order/1e6
	got["dug.bags"], got["dug.moreBags"] = float64(dug.Bags), float64(dug.MoreBags)
	cure := ReadCure(s, rules)
	require.True(t, cure.Hang.Judged && cure.Anchors.Judged)
	got["cure.hang"], got["cure.anchors"] = cure.Hang.Hours, cure.Anchors.Hours
	stands := ReadPoured(s, &made, rules)
	for _, q := range stands.Packing {
		if q.Read {
			got["pack."+strconv.Itoa(int(q.Chainage))] = q.Height
		}
	}
	after := stands.Design(&made, rules)
	for _, id := range []string{"leaf.frame", "leaf.tail", "leaf.rack", "leaf.travel"} {
		f, ok := after.Plan.Figure(id)
		require.True(t, ok, id)
		got[id] = f.Value
	}
	got["leaf.rise"], got["pinion.height"] = after.Plan.Leaf.Rise, after.Pinion.Height
	assert.False(t, after.Pinion.Fits)
	assert.Len(t, after.Pinion.Remedies, 2)

	sums, figures := enginetest.WorkedPage(t, "../../testdata/example/BUILT.md")
	for _, by := range figures {
		value, ok := got[by.ID]
		require.True(t, ok, by.ID)
		assert.InDelta(t, by.Want, value, 0.51*by.Digit, by.ID)
	}
	assert.Greater(t, sums, 60)
	assert.Len(t, figures, 23)
}
