package ui

import (
	"context"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns/turnstest"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/engine/units"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// siteInHand is a demo site over a store of its own.
func siteInHand(t *testing.T, n int) (*editing.Site, *turnstest.Stage) {
	t.Helper()
	stage := turnstest.New(t)
	store := storage.NewStore(&storage.Memory{}, storage.SteppingClock())
	w := editing.NewSite(editing.NewDevice(stage.Turns, &language.Speaker{}, nil))
	w.Store, w.Shop = store, storage.NewShop()
	d := storage.NewDocument(editing.Now())
	d.Survey = demo.Sites()[n].Survey
	loaded, err := store.Create(context.Background(), d)
	require.NoError(t, err)
	w.Hold(loaded)
	return w, stage
}

var keysShown = regexp.MustCompile(`data-key="([^"]*)"`)

// typeKeys presses keys of the keypad that is shown for a field, by what stands on
// them; a key that is not there fails.
func typeKeys(t *testing.T, w *editing.Site, stage *turnstest.Stage, f survey.Field, keys ...string) {
	t.Helper()
	there, types := map[string]bool{}, map[string]string{"0": "0"}
	nothing := func(app.Context) {}
	for _, m := range keysShown.FindAllStringSubmatch(app.HTMLString(keypad(w, f, true, nothing, nothing)), -1) {
		there[m[1]] = true
	}
	for _, k := range slices.Concat(metricKeys, degreeKeys, gradeKeys, feetKeys) {
		types[k.shows] = k.types
	}
	for _, k := range keys {
		require.True(t, there[k], "%s: no key %q", f.Path, k)
		press(w, stage, f, types[k])
	}
}

// feetKeysOf are the keys of a length on a tape of sixteenths.
func feetKeysOf(mm float64) (keys []string) {
	sixteenths := int(math.Round(math.Abs(mm) * 16 / 25.4))
	number := func(n int) {
		for _, d := range strconv.Itoa(n) {
			keys = append(keys, string(d))
		}
	}
	if mm < 0 {
		keys = append(keys, "−")
	}
	if feet := sixteenths / (12 * 16); feet > 0 {
		number(feet)
		keys = append(keys, "ft")
	}
	number(sixteenths / 16 % 12)
	switch over := sixteenths % 16; over {
	case 0:
	case 8:
		keys = append(keys, "½")
	case 4:
		keys = append(keys, "¼")
	default:
		below := 16
		for over%2 == 0 {
			over, below = over/2, below/2
		}
		keys = append(keys, "in")
		number(over)
		keys = append(keys, "/")
		number(below)
	}
	return keys
}

// Every number of every demo site is typed in feet and inches with nothing but the
// keys that are shown.
func TestAWholeSiteIsTypedInFeetByKeypad(t *testing.T) {
	dimensions, negative, typed := map[text.Dimension]bool{}, 0, 0
	for n := range demo.Sites() {
		w, stage := siteInHand(t, n)
		w.Units = storage.UnitsFeet
		taken := w.Doc.Survey.Clone()
		for _, f := range survey.Fields(&taken) {
			want := f.Value(&taken)
			if !f.Numeric() || !want.Known() {
				continue
			}
			empty, err := storage.SetValue(w.Doc, f.Path, survey.Value{})
			require.NoError(t, err)
			w.Commit(stage, empty, nil)
			stage.Now()
			close := 0.0
			var keys []string
			switch f.Dimension {
			case text.Length:
				keys, close = feetKeysOf(want.Size), 25.4/32+1e-9
			default:
				size := want.Size
				if f.Dimension == text.AngleOf {
					size, close = size*180/math.Pi, 1e-9
				} else if f.Dimension == text.Grade {
					size, close = size*100, 1e-9
				}
				if size < 0 {
					keys = append(keys, "−")
				}
				for _, k := range units.Decimal(math.Abs(size), 6) {
					keys = append(keys, string(k))
				}
			}
			typeKeys(t, w, stage, f, keys...)
			words, problem := w.Entry(f)
			assert.InDelta(t, want.Size, f.Value(&w.Doc.Survey).Size, close, "%s: %s", f.Path, words)
			assert.Empty(t, problem, "%s: %s", f.Path, words)
			dimensions[f.Dimension], typed = true, typed+1
			if want.Size < 0 {
				negative++
			}
		}
		stage.Until("all kept", func() bool { return w.Waiting() == 0 })
		assert.Empty(t, w.Unsaved)
	}
	assert.True(t, dimensions[text.Length] && dimensions[text.AngleOf] && dimensions[text.Grade], "%v", dimensions)
	assert.Positive(t, negative)
	assert.Greater(t, typed, 100)
}

func TestKeysOfFeetAndInches(t *testing.T) {
	w, stage := siteInHand(t, 0)
	w.Units = storage.UnitsFeet
	f := survey.FieldOf(survey.DriveRunBackEdgeAlong)
	for _, c := range []struct {
		keys, reads string
		mm          float64
	}{
		{"1 4 ft 3 ½", `14' 3½`, 4356.1},
		{"1 4 ft 3 in 7 / 1 6", `14' 3" 7/16`, 4354.5125},
		{"1 7 1 in 1 / 2", `171" 1/2`, 4356.1},
		{"3 / 8", "3/8", 9.525},
		{"− 1 ft 2 ¼", `-1' 2¼`, -361.95},
		{"1 ft 2 −", `-1' 2`, -355.6},
	} {
		empty, err := storage.SetValue(w.Doc, f.Path, survey.Value{})
		w.Commit(stage, empty, err)
		typeKeys(t, w, stage, f, strings.Fields(c.keys)...)
		words, problem := w.Entry(f)
		assert.Equal(t, c.reads, strings.TrimSpace(words))
		assert.Equal(t, c.mm, f.Value(&w.Doc.Survey).Size, c.keys)
		assert.Empty(t, problem, c.keys)
	}
}
