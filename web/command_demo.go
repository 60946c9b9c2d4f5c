package main

import (
	"context"
	"flag"
	"fmt"
	"io"

	"pegpour/storage"
	"pegpour/storage/demo"
)

// demoCommand writes one of the demo sites as a survey file to start from.
func demoCommand(_ context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("demo", flag.ContinueOnError)
	number := flags.Int("site", 1, "which `site`, from 1")
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	d, err := demoDocument(*number)
	if err != nil {
		return err
	}
	data, err := storage.Encode(d)
	if err != nil {
		return err
	}
	_, err = out.Write(append(data, '\n'))
	return err
}

// demoDocument is demo site n, from 1, as a survey file.
func demoDocument(n int) (*storage.Document, error) {
	sites := demo.Sites()
	if n < 1 || n > len(sites) {
		return nil, fmt.Errorf("%w: -site is %d, allowed 1 to %d", errUsage, n, len(sites))
	}
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	site := &sites[n-1]
	d.ID, d.Demo, d.Survey, d.Ticks, d.Practice = site.ID, true, site.Survey, site.Ticks, site.Practice
	if site.Accepted != nil {
		return d, storage.BindQuote(d, nil, *site.Accepted)
	}
	return d, nil
}
