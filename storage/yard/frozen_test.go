package yard

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What was released is never changed: databases that went through it are out there.
func TestReleasedStepsAreFrozen(t *testing.T) {
	for n, want := range []string{
		"295984ce01f43400",
		"78eb366656a75950",
		"54ea236912f83db5",
		"00c758c5156c5595",
		"eee62bcffb1c0f9b",
		"835e8fda680b5376",
	} {
		step := migrations[n]
		if n == 5 {
			step += strings.Join(layout6SearchFile, ";") + strings.Join(layout6SearchPostgres, ";")
		}
		sum := sha256.Sum256([]byte(step))
		require.Equal(t, want, hex.EncodeToString(sum[:8]), "step %d", n+1)
	}
	require.Len(t, migrations, 7, "a new step gets its line above once it is released")
}
