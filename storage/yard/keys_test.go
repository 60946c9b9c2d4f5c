package yard_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
)

// In a back-up without keys there is no trace of one: not in a row, not in what was
// freed of the file, not in a file beside it.
func noTraceOfKeys(t *testing.T, open func(yard.Options) *yard.Yard) {
	y := open(yard.Options{NotDurable: true})
	ctx := t.Context()
	var secrets []string
	secret := func(text string) {
		sum := sha256.Sum256([]byte(text))
		secrets = append(secrets, text, hex.EncodeToString(sum[:]), string(sum[:]))
	}
	for n := range 200 { // more than a page of each
		code, _, err := y.NewCode(ctx, yard.Crew)
		require.NoError(t, err)
		secret(yard.CleanCode(code))
		if n%2 == 0 {
			continue
		}
		d, token, err := y.Pair(ctx, code, fmt.Sprint("phone ", n))
		require.NoError(t, err)
		secret(token)
		if n%3 == 0 {
			require.NoError(t, y.Withdraw(ctx, d.ID))
		}
	}
	put(t, y, "s", document(t, "s", named("The site of it")))
	folder := t.TempDir()
	file := filepath.Join(folder, "with ? # %41.sqlite")
	require.NoError(t, y.BackUpWithoutKeys(ctx, file))
	beside, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Len(t, beside, 1, "nothing is left beside it")
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	require.True(t, bytes.Contains(data, []byte("The site of it")))
	for _, s := range secrets {
		require.False(t, bytes.Contains(data, []byte(s)), "a key is in the file")
	}
	whole := filepath.Join(folder, "whole.sqlite")
	require.NoError(t, y.BackUp(ctx, whole))
	data, err = os.ReadFile(whole)
	require.NoError(t, err)
	require.True(t, bytes.Contains(data, []byte(secrets[1])), "the search finds what is there")
}
