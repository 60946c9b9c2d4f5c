package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"

	"pegpour/storage/yard"
	"pegpour/web/api"
	"pegpour/web/bundle"
)

// revision of the source, given when the program is built; without it what the compiler
// noted is said.
var revision string

// versionCommand says which program this is, for who reports a fault.
func versionCommand(_ context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("version", flag.ContinueOnError)
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	module, source := "unknown", revision
	if info, ok := debug.ReadBuildInfo(); ok {
		module = info.Main.Path + " " + info.Main.Version
		for _, s := range info.Settings {
			switch {
			case s.Key == "vcs.revision" && source == "":
				source = s.Value
			case s.Key == "vcs.modified" && s.Value == "true" && revision == "":
				source += ", changed since"
			}
		}
	}
	if source == "" {
		source = "unknown"
	}
	app := "none in this program"
	if b, err := bundle.Open(embeddedBundle()); err == nil {
		app = b.Contents.Version
	}
	fmt.Fprintf(out, "module    %s\nsource    %s\napp       %s\nlayout    %d of the database; older ones are brought up to it\n"+
		"protocol  %s\nbuilt by  %s for %s/%s\n", module, source, app, yard.Layout(), api.Protocol, runtime.Version(), runtime.GOOS,
		runtime.GOARCH)
	return nil
}
