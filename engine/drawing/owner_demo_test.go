package drawing_test

import (
	"flag"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/practice"
	"pegpour/storage/demo"
)

var updateOwner = flag.Bool("update-owner", false, "write the golden owner's views of the sloping demo sites anew")

// The owner's view of the demo sites that are not level, shut from the street
// and open from inside, as it was looked at and found right.
func TestOwnerViewOfTheSlopingDemoSites(t *testing.T) {
	drawn := 0
	for _, site := range demo.Sites() {
		plan, err := engine.Design(site.Survey, practice.DefaultPractice())
		require.NoError(t, err)
		if plan.Ground == nil {
			continue
		}
		drawn++
		for _, inside := range []bool{false, true} {
			o := drawing.OwnerOptions{Inside: inside, Figures: true}
			if inside {
				o.Open = 1
			}
			scene, err := drawing.OwnerViewScene(&plan, o)
			require.NoError(t, err)
			got, err := draw.Render(scene, draw.Phone(390, 0), draw.Options{Standalone: true})
			require.NoError(t, err)
			file := filepath.Join("..", "..", "testdata", "drawings",
				"owner-demo-"+strings.TrimLeft(site.ID[len(site.ID)-12:], "0")+"-"+strconv.FormatBool(inside)+".svg")
			if *updateOwner {
				require.NoError(t, os.WriteFile(file, got, 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			if string(want) != string(got) {
				t.Errorf("%s is drawn otherwise: look at it, and run go test ./engine -run OwnerView -update-owner", file)
			}
		}
	}
	require.Greater(t, drawn, 2)
}
