package main

import (
	"flag"
	"fmt"
	"io"
	"log/slog"
	"strings"
)

// logOptions is what the server writes down of itself, and how.
type logOptions struct {
	level  *slog.Level
	format *choice
	now    *slog.LevelVar
}

func logFlags(flags *flag.FlagSet) logOptions {
	o := logOptions{level: new(slog.Level), format: &choice{"text", []string{"text", "json"}}, now: new(slog.LevelVar)}
	flags.TextVar(o.level, "log-level", slog.LevelInfo,
		"how much is logged: `debug`, info, warn or error; debug has every request")
	flags.Var(o.format, "log-format", "`text` or json, one line for each thing that happened")
	return o
}

// open returns a log that writes to w.
func (o logOptions) open(w io.Writer) *slog.Logger {
	o.now.Set(*o.level)
	options := &slog.HandlerOptions{Level: o.now}
	if o.format.value == "json" {
		return slog.New(slog.NewJSONHandler(w, options))
	}
	return slog.New(slog.NewTextHandler(w, options))
}

// choice is a flag that takes one of a few words.
type choice struct {
	value   string
	allowed []string
}

func (c *choice) String() string { return c.value }

// Set takes a word.
func (c *choice) Set(text string) error {
	for _, a := range c.allowed {
		if a == text {
			c.value = text
			return nil
		}
	}
	return fmt.Errorf("allowed: %s", strings.Join(c.allowed, ", "))
}
