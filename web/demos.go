package main

import (
	"fmt"

	"pegpour/storage"
	"pegpour/storage/demo"
)

// demoDocument is demo site n, from 1, as a survey file.
func demoDocument(n int) (*storage.Document, error) {
	sites := demo.Sites()
	if n < 1 || n > len(sites) {
		return nil, fmt.Errorf("%w: -site is %d, allowed 1 to %d", errUsage, n, len(sites))
	}
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.ID, d.Demo, d.Survey = sites[n-1].ID, true, sites[n-1].Survey
	return d, nil
}
