package yard

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard/yardtest"
)

// PostgreSQL follows the index of steps in its order: it neither reads all sites at a step
// and sorts them, nor all sites.
func TestPostgresListsByStepFromItsIndex(t *testing.T) {
	y, err := Open(t.Context(), yardtest.Postgres(t)(), Options{NotDurable: true})
	require.NoError(t, err)
	defer y.Close()
	require.NoError(t, y.update(t.Context(), func(s session) error {
		return s.each([]string{`INSERT INTO sites (id, name, address, client, search, created, changed, photos, received, turn, far,
			far_turn) SELECT 's' || n, 'N', '', '', 's' || n, '', '', 0, '', n, n / 5 % 8, CASE WHEN n % 500 = 0 THEN 0 ELSE n END
			FROM generate_series(1, 20000) AS n`, "ANALYZE sites"})
	}))
	for far, index := range map[string]string{"poured": "sites_far", FarUnknown: "sites_untold"} {
		require.NoError(t, y.view(t.Context(), func(s session) error {
			from, args, err := Query{Far: far, Before: 15000}.from(s)
			require.NoError(t, err)
			plan, err := s.texts("EXPLAIN SELECT "+siteColumns+from+" ORDER BY turn DESC LIMIT 50", args...)
			all := strings.Join(plan, "\n")
			require.Contains(t, all, "Index Scan Backward using "+index)
			require.NotContains(t, all, "Sort", far)
			return err
		}))
	}
}
