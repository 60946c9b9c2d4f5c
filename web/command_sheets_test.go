package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/papers/order"
	"pegpour/app/papers/press"
	"pegpour/storage"
)

// The command line prints the very bytes that the phone makes: both fill the
// same order. What the phone does with it is tested in a browser.
func TestSheetsCommandPrintsWhatThePhonePrints(t *testing.T) {
	d, err := demoDocument(2)
	require.NoError(t, err)
	text, err := storage.Encode(d)
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "survey.json")
	require.NoError(t, os.WriteFile(file, append(text, '\n'), 0o600))
	for _, reader := range []string{"owner", "labourer", "large", "steel", "supplier"} {
		code, out, fault := pegpour("", "sheets", "-in", file, "-for", reader, "-date", "2026-03-04")
		require.Equal(t, exitDone, code, fault)
		want, err := press.Print(order.Order{Document: text, For: reader, Date: "2026-03-04", Units: storage.UnitsMetric})
		require.NoError(t, err)
		assert.True(t, string(want) == out, reader)
	}
	code, out, fault := pegpour("", "sheets", "-in", file, "-for", "passer-by")
	assert.Equal(t, exitFault, code)
	assert.Contains(t, fault, "passer-by")
	assert.Empty(t, out)
}
