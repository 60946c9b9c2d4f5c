package main

import (
	"context"
	"fmt"
	"io"
	"strings"

	"pegpour/app/papers/order"
	"pegpour/app/papers/press"
	"pegpour/app/words"
	"pegpour/storage"
)

// sheetsCommand writes the sheets for one reader as PDF: the same bytes as the
// phone makes of the same survey and rules.
func sheetsCommand(_ context.Context, arguments []string, in io.Reader, out, fault io.Writer) error {
	c := newSiteCommand("sheets")
	o := order.Order{}
	c.flags.StringVar(&o.For, "for", "labourer", "`reader`: owner, labourer, large, steel, supplier, engineer, hand-over, keeper, quote or costing")
	c.flags.StringVar(&o.Date, "date", "",
		"`day` of the issue, such as 2025-03-14; empty takes when the survey was last changed")
	c.flags.StringVar(&o.Revision, "revision", "", "`name` of the revision; empty names it by the content")
	c.flags.StringVar(&o.Units, "units", storage.UnitsMetric, "`system` of units: metric or feet")
	c.flags.StringVar(&o.Currency, "currency", "", "`sign` written before money")
	lang := c.flags.String("lang", "en", "`language` of the sheets: "+strings.Join(words.Codes(), ", "))
	c.flags.StringVar(&o.Firm, "firm", "", "who issues the sheets")
	c.flags.BoolVar(&o.Prices, "prices", false, "with prices, where the sheets have room for them")
	c.flags.BoolVar(&o.Colour, "colour", false, "measured figures in plum")
	return c.run(arguments, in, out, fault, func(w io.Writer, site designed) error {
		var err error
		if o.Document, err = storage.Encode(site.document); err != nil {
			return err
		}
		if o.Words, err = words.File(*lang); err != nil {
			return fmt.Errorf("%w: -lang: %w", errUsage, err)
		}
		o.Rules = site.rules
		pdf, err := press.Print(o)
		if err != nil {
			return err
		}
		_, err = w.Write(pdf)
		return err
	})
}
