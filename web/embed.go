package main

import (
	"embed"
	"io/fs"
)

// The bundle of the browser app, which web/build writes. Before the first
// build there is only a placeholder, so that the package compiles.
//
//go:embed all:built
var built embed.FS

// embeddedBundle returns the files of the bundle in this binary.
func embeddedBundle() fs.FS {
	files, err := fs.Sub(built, "built")
	if err != nil {
		return built // cannot happen: "built" is a valid path
	}
	return files
}
