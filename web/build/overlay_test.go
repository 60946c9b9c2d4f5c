package main

import (
	"bytes"
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
	arguments, err := roomyReferences(options{framework: "whole"})
	assert.NoError(t, err)
	assert.Empty(t, arguments)
}
