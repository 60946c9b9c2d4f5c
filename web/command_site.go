package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"pegpour/app/words"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/quote"
	"pegpour/engine/sheets"
	"pegpour/engine/tables"
	"pegpour/engine/text"
	"pegpour/storage"
)

// planCommand writes the plan as JSON.
func planCommand(_ context.Context, arguments []string, in io.Reader, out, fault io.Writer) error {
	return newSiteCommand("plan").run(arguments, in, out, fault, func(w io.Writer, site designed) error {
		encoder := json.NewEncoder(w)
		encoder.SetIndent("", "  ")
		encoder.SetEscapeHTML(false)
		return encoder.Encode(site.plan)
	})
}

// drawingCommand writes the set-out plan as SVG, or all drawings in true size as DXF into
// a file of that name.
func drawingCommand(_ context.Context, arguments []string, in io.Reader, out, fault io.Writer) error {
	c := newSiteCommand("drawing")
	width := c.flags.Float64("width", 1200, "`pixels` across")
	detail := c.flags.Bool("detail", false, "the corner by pad and guide post instead of the whole")
	pegs := c.flags.Bool("pegs", false, "with numbered pegs")
	lang := c.flags.String("lang", "en", "`language` of the drawing: "+strings.Join(words.Codes(), ", "))
	return c.run(arguments, in, out, fault, func(w io.Writer, site designed) error {
		if !(*width >= 200 && *width <= 10000) {
			return fmt.Errorf("%w: -width is %g, allowed 200 to 10000", errUsage, *width)
		}
		language, err := words.Read(*lang)
		if err != nil {
			return fmt.Errorf("%w: -lang: %w", errUsage, err)
		}
		if strings.EqualFold(filepath.Ext(*c.to), ".dxf") {
			data, err := sheets.Exchange(sheets.Issue{Plan: site.plan, Practice: &site.practice, Language: language})
			if err != nil {
				return err
			}
			_, err = w.Write(data)
			return err
		}
		view := draw.Phone(*width, 0)
		view.Mirror = site.plan.Mirrored()
		if *detail {
			view.Window = drawing.DetailWindow(site.plan)
		}
		scene := drawing.SetOutScene(site.plan, drawing.SceneOptions{
			Detail: *detail, Pegs: *pegs, Say: language.Say,
			Write: func(a text.Arg) string { return language.Number(drawing.PlainFigure(a)) },
		})
		svg, err := draw.Render(scene, view, draw.Options{Standalone: true})
		if err != nil {
			return err
		}
		_, err = w.Write(svg)
		return err
	})
}

// quoteCommand writes the quote as CSV (RFC 4180), by the rates among the rules given.
func quoteCommand(_ context.Context, arguments []string, in io.Reader, out, fault io.Writer) error {
	return newSiteCommand("quote").run(arguments, in, out, fault, func(w io.Writer, site designed) error {
		shop := storage.NewShop()
		shop.Rules = site.rules
		rules, err := shop.Practice(site.document)
		if err != nil {
			return err
		}
		priced, err := quote.Make(&site.document.Survey, site.plan, &rules)
		if err != nil {
			return err
		}
		table := csv.NewWriter(w)
		table.UseCRLF = true
		return table.WriteAll(tables.English(quote.Table(priced)))
	})
}

// pegsCommand writes the pegs as points, CSV (RFC 4180).
func pegsCommand(_ context.Context, arguments []string, in io.Reader, out, fault io.Writer) error {
	return newSiteCommand("pegs").run(arguments, in, out, fault, func(w io.Writer, site designed) error {
		table := csv.NewWriter(w)
		table.UseCRLF = true
		return table.WriteAll(tables.Pegs(site.plan))
	})
}

// placeCommand writes the place of the site, GeoJSON (RFC 7946).
func placeCommand(_ context.Context, arguments []string, in io.Reader, out, fault io.Writer) error {
	return newSiteCommand("place").run(arguments, in, out, fault, func(w io.Writer, site designed) error {
		made, err := tables.Place(&site.document.Survey.Site)
		if err == nil && made == "" {
			err = errors.New("site.place: no place on the map was given with this site")
		}
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, made)
		return err
	})
}

// quantitiesCommand writes the quantities as CSV (RFC 4180).
func quantitiesCommand(_ context.Context, arguments []string, in io.Reader, out, fault io.Writer) error {
	return newSiteCommand("quantities").run(arguments, in, out, fault, func(w io.Writer, site designed) error {
		table := csv.NewWriter(w)
		table.UseCRLF = true
		return table.WriteAll(tables.English(tables.Quantities(site.plan)))
	})
}
