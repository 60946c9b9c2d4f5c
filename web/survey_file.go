package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"slices"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/storage"
	"pegpour/web/wholefile"
)

// siteCommand is what plan, drawing, quantities and sheets have in common: a
// survey file in, one result out.
type siteCommand struct {
	flags           *flag.FlagSet
	from, to, rules *string
}

func newSiteCommand(name string) *siteCommand {
	c := &siteCommand{flags: flag.NewFlagSet(name, flag.ContinueOnError)}
	c.from = c.flags.String("in", "-", "survey `file` as the app saves it; - reads standard input")
	c.to = c.flags.String("out", "-", "`file` to write; - writes standard output")
	c.rules = c.flags.String("rules", "", "JSON `file` with the shop's rules by key, such as {\"strip.width\": 250}")
	return c
}

// designed is a survey file, the shop's rules, and the plan of both.
type designed struct {
	document *storage.Document
	rules    map[string]float64 // by key, nil for none
	practice practice.Practice  // by them
	plan     *plan.Plan
}

// run reads the survey, designs, and has the result written. What is refused
// ends it with an error, which names the field if it is a value; no file is
// written then, and one that is there stays.
func (c *siteCommand) run(
	arguments []string, in io.Reader, out, fault io.Writer, write func(io.Writer, designed) error,
) error {
	if err := parseFlags(c.flags, arguments, fault); err != nil {
		return err
	}
	site, err := c.design(in)
	if err != nil {
		return err
	}
	if *c.to == "-" {
		return write(out, site)
	}
	return wholefile.Write(*c.to, func(w io.Writer) error { return write(w, site) })
}

func (c *siteCommand) design(in io.Reader) (designed, error) {
	data, err := readAll(*c.from, in)
	if err != nil {
		return designed{}, err
	}
	site := designed{}
	if site.document, err = storage.Decode(data); err != nil {
		return designed{}, fmt.Errorf("%s: %w", *c.from, err)
	}
	if err := unread(site.document); err != nil {
		return designed{}, err
	}
	rules := practice.DefaultPractice()
	if *c.rules != "" {
		if site.rules, err = readRules(*c.rules); err != nil {
			return designed{}, err
		}
		if rules, err = rules.With(site.rules); err != nil {
			return designed{}, err
		}
	}
	if rules, err = rules.With(site.document.Practice); err != nil {
		return designed{}, err
	}
	plan, err := engine.Design(site.document.Survey, rules)
	site.plan, site.practice = &plan, rules
	return site, err
}

// unread refuses a survey with entries that could not be read when it was
// saved: they are not measured values.
func unread(d *storage.Document) error {
	var all []error
	for _, key := range slices.Sorted(maps.Keys(d.Drafts)) {
		all = append(all, fmt.Errorf("%s: %q was typed and could not be used: open the survey and correct it",
			key, d.Drafts[key]))
	}
	return errors.Join(all...)
}

func readAll(name string, in io.Reader) ([]byte, error) {
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, err
		}
		defer f.Close()
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, storage.MaxDocumentBytes+1))
	if err == nil && len(data) > storage.MaxDocumentBytes {
		err = fmt.Errorf("%s: longer than %d bytes", name, storage.MaxDocumentBytes)
	}
	return data, err
}

func readRules(name string) (map[string]float64, error) {
	data, err := readAll(name, nil)
	if err != nil {
		return nil, err
	}
	var rules map[string]float64
	if err := json.Unmarshal(data, &rules); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return rules, nil
}
