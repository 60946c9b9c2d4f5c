package yard_test

import (
	"database/sql"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
)

// undoPeople takes back what the fifth layout has for people, for tests of older ones.
var undoPeople = []string{
	"DROP TABLE people", "DROP TABLE signins", "DROP TABLE site_crews", "DROP TABLE shop_rules",
	"DROP TABLE webhooks", "DROP TABLE deliveries", "DROP INDEX devices_following", "DROP INDEX devices_former",
	"ALTER TABLE devices DROP COLUMN person", "ALTER TABLE devices DROP COLUMN crew", "ALTER TABLE devices DROP COLUMN scope",
	"ALTER TABLE devices DROP COLUMN issued", "ALTER TABLE devices DROP COLUMN renewal",
	"ALTER TABLE devices DROP COLUMN following", "ALTER TABLE devices DROP COLUMN former",
	"ALTER TABLE codes DROP COLUMN person", "ALTER TABLE codes DROP COLUMN crew",
	"ALTER TABLE audit DROP COLUMN person", "ALTER TABLE marks DROP COLUMN person",
}

// undoFar takes back the seventh layout, and undoSearch the sixth with it, in PostgreSQL or
// in SQLite.
var (
	undoFar = []string{"DROP INDEX sites_far", "DROP INDEX sites_untold", "ALTER TABLE sites DROP COLUMN far",
		"ALTER TABLE sites DROP COLUMN far_turn"}
	undoSearchPostgres = slices.Concat(undoFar, yard.Layout6UndoPostgres, []string{"ALTER TABLE sites DROP COLUMN state"})
	undoSearchFile     = slices.Concat(undoFar, yard.Layout6UndoFile, []string{"DROP INDEX sites_state", "DROP INDEX sites_work",
		"ALTER TABLE sites DROP COLUMN state"})
)

// backTo takes a PostgreSQL database back to the fifth layout, or to the sixth.
func backTo(t testing.TB, address string, layout int) {
	t.Helper()
	db, err := sql.Open("pgx", address)
	require.NoError(t, err)
	defer db.Close()
	undo := undoSearchPostgres
	if layout == 6 {
		undo = undoFar
	}
	for _, statement := range slices.Concat(undo, []string{fmt.Sprint("DELETE FROM layout WHERE version > ", layout)}) {
		_, err := db.Exec(statement)
		require.NoError(t, err)
	}
}
