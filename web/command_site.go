package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"pegpour/app/words"
	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/storage"
)

// siteCommand is what plan, drawing and quantities have in common: a survey
// file in, one result out.
type siteCommand struct {
	flags     *flag.FlagSet
	from, to  *string
	shop      *string
	arguments []string
}

func newSiteCommand(name string) *siteCommand {
	c := &siteCommand{flags: flag.NewFlagSet(name, flag.ContinueOnError)}
	c.from = c.flags.String("in", "-", "survey `file` as the app saves it; - reads standard input")
	c.to = c.flags.String("out", "-", "`file` to write; - writes standard output")
	c.shop = c.flags.String("rules", "", "JSON `file` with the shop's rules by key, such as {\"strip.width\": 250}")
	return c
}

// run reads the survey, designs and writes. A value that was refused ends it
// with an error that names the field; nothing is written then.
func (c *siteCommand) run(arguments []string, in io.Reader, out, fault io.Writer, write func(io.Writer, *storage.Document, *engine.Plan) error) error {
	if err := parseFlags(c.flags, arguments, fault); err != nil {
		return err
	}
	data, err := readAll(*c.from, in)
	if err != nil {
		return err
	}
	d, err := storage.Decode(data)
	if err != nil {
		return fmt.Errorf("%s: %w", *c.from, err)
	}
	if err := unread(d); err != nil {
		return err
	}
	practice := engine.DefaultPractice()
	if *c.shop != "" {
		rules, err := readRules(*c.shop)
		if err != nil {
			return err
		}
		if practice, err = practice.With(rules); err != nil {
			return err
		}
	}
	if practice, err = practice.With(d.Practice); err != nil {
		return err
	}
	plan, err := engine.Design(d.Survey, practice)
	if err != nil {
		return err
	}
	if *c.to == "-" {
		return write(out, d, &plan)
	}
	f, err := os.Create(*c.to)
	if err != nil {
		return err
	}
	return errors.Join(write(f, d, &plan), f.Close())
}

// unread refuses a survey with entries that could not be read when it was
// saved: they are not measured values.
func unread(d *storage.Document) error {
	var all []error
	keys := make([]string, 0, len(d.Drafts))
	for key := range d.Drafts {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	for _, key := range keys {
		all = append(all, fmt.Errorf("%s: %q was typed and could not be used: open the survey and correct it", key, d.Drafts[key]))
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

// planCommand writes the plan as JSON.
func planCommand(_ context.Context, arguments []string, in io.Reader, out, fault io.Writer) error {
	return newSiteCommand("plan").run(arguments, in, out, fault, func(w io.Writer, _ *storage.Document, p *engine.Plan) error {
		encoder := json.NewEncoder(w)
		encoder.SetIndent("", "  ")
		encoder.SetEscapeHTML(false)
		return encoder.Encode(p)
	})
}

// drawingCommand writes the set-out plan as SVG.
func drawingCommand(_ context.Context, arguments []string, in io.Reader, out, fault io.Writer) error {
	c := newSiteCommand("drawing")
	width := c.flags.Float64("width", 1200, "`pixels` across")
	detail := c.flags.Bool("detail", false, "the corner by pad and guide post instead of the whole")
	pegs := c.flags.Bool("pegs", false, "with numbered pegs")
	lang := c.flags.String("lang", "en", "`language` of the drawing: "+strings.Join(words.Codes(), ", "))
	return c.run(arguments, in, out, fault, func(w io.Writer, _ *storage.Document, p *engine.Plan) error {
		if !(*width >= 200 && *width <= 10000) {
			return fmt.Errorf("%w: -width is %g, allowed 200 to 10000", errUsage, *width)
		}
		language, err := words.Read(*lang)
		if err != nil {
			return fmt.Errorf("%w: -lang: %w", errUsage, err)
		}
		view := draw.Phone(*width, 0)
		view.Mirror = p.Mirrored()
		if *detail {
			view.Window = p.DetailWindow()
		}
		svg, err := draw.Render(engine.SetOutScene(p, engine.SceneOptions{Detail: *detail, Pegs: *pegs, Say: language.Say, Write: func(a engine.Arg) string { return language.Number(engine.PlainFigure(a)) }}), view, draw.Options{Standalone: true})
		if err != nil {
			return err
		}
		_, err = w.Write(svg)
		return err
	})
}

// quantitiesCommand writes the quantities as CSV (RFC 4180).
func quantitiesCommand(_ context.Context, arguments []string, in io.Reader, out, fault io.Writer) error {
	return newSiteCommand("quantities").run(arguments, in, out, fault, func(w io.Writer, _ *storage.Document, p *engine.Plan) error {
		table := csv.NewWriter(w)
		table.UseCRLF = true
		return table.WriteAll(engine.QuantityTable(p))
	})
}

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
