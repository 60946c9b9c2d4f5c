package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The library of the Go that is used is the one that was looked at; of another one the
// build says so.
func TestReferencesHaveRoom(t *testing.T) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)
	source, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "src", "syscall", "js", "js.go"))
	require.NoError(t, err)
	roomy, err := withRoomyReferences(source)
	require.NoError(t, err)
	assert.Equal(t, 1, bytes.Count(roomy, []byte("new([8]ref)")))
	assert.Equal(t, len(source)-len(tightReference)+len(roomyReference), len(roomy))
	_, err = withRoomyReferences(roomy)
	assert.ErrorIs(t, err, errOtherLibrary)
}

// What is replaced beside stands in one list with ours: the go command takes one.
func TestReplacementsAreOneList(t *testing.T) {
	arguments, err := overlay(options{framework: "whole"})
	require.NoError(t, err)
	assert.Empty(t, arguments)

	cache := t.TempDir()
	given := filepath.Join(cache, "given.json")
	require.NoError(t, os.WriteFile(given, []byte(`{"Replace": {"a.go": "b.go"}}`), 0o600))
	for framework, files := range map[string]int{"whole": 1, "trimmed": 2} {
		arguments, err = overlay(options{framework: framework, overlay: given, cache: cache})
		require.NoError(t, err)
		require.Len(t, arguments, 1)
		text, err := os.ReadFile(strings.TrimPrefix(arguments[0], "-overlay="))
		require.NoError(t, err)
		var list replacements
		require.NoError(t, json.Unmarshal(text, &list))
		assert.Len(t, list.Replace, files, framework)
		assert.Equal(t, "b.go", list.Replace["a.go"])
	}
	_, err = overlay(options{overlay: filepath.Join(cache, "none")})
	assert.ErrorContains(t, err, "-overlay")
}
