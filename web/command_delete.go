package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"time"

	"pegpour/storage/yard"
)

// onYard parses the flags and does something with the yard that they name.
func onYard(ctx context.Context, flags *flag.FlagSet, arguments []string, fault io.Writer,
	do func(y *yard.Yard, note func(action, subject string) error) error) error {
	place := yardFlags(flags)
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	y, err := place.open(ctx)
	if err != nil {
		return err
	}
	return errors.Join(do(y, func(action, subject string) error {
		return y.Note(ctx, yard.Entry{Address: "command line", Action: action, Subject: subject})
	}), y.Close())
}

// sitesCommand lists sites with their identities, which the other commands take.
func sitesCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("sites", flag.ContinueOnError)
	search := flags.String("search", "", "only those with these `words` in name, address, client or who measured")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, _ func(string, string) error) error {
		for before := int64(0); ; {
			page, err := y.Sites(ctx, yard.Query{Search: *search, Before: before})
			if err != nil || len(page) == 0 {
				return err
			}
			for _, s := range page {
				fmt.Fprintf(out, "%s  %s, %s, %s\n", s.ID, s.Name, s.Address, s.Client)
				before = s.Turn
			}
		}
	})
}

// deleteCommand deletes a site from the yard and all devices.
func deleteCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("delete", flag.ContinueOnError)
	site := flags.String("site", "", "`identity` of the site, as \"pegpour sites\" lists it")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		if *site == "" {
			return fmt.Errorf("%w: -site names the site", errUsage)
		}
		if _, err := y.Site(ctx, *site); err != nil {
			return fmt.Errorf("%s: %w", *site, err)
		}
		d, err := y.DeleteSite(ctx, "", *site)
		if err != nil {
			return err
		}
		fmt.Fprintf(out, "Deleted. \"pegpour deleted -bring-back %s\" brings it back until %s.\n"+
			"Then all of it goes but the record: its identity, when it was deleted, and by whom.\n", d.Site, localTime(d.Until))
		return note("deleted", d.Site)
	})
}

func localTime(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return at
	}
	return t.Local().Format(time.DateTime)
}

// deletedCommand lists deleted sites, brings one back, or purges one before its time.
func deletedCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("deleted", flag.ContinueOnError)
	back := flags.String("bring-back", "", "bring back the site of this `identity`")
	purge := flags.String("purge", "", "let go for good what is kept of the site of this `identity`, before its time")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		switch {
		case *back != "":
			if err := y.Undelete(ctx, *back); err != nil {
				return fmt.Errorf("%s: %w", *back, err)
			}
			fmt.Fprintln(out, "The site is back.")
			return note("brought back", *back)
		case *purge != "":
			photos, err := y.Purge(ctx, *purge)
			if err != nil {
				return fmt.Errorf("%s: %w", *purge, err)
			}
			fmt.Fprintf(out, "The site is gone for good, with %d photos. The record of its deletion stays.\n", photos)
			return note("purged", *purge)
		}
		for before := int64(0); ; {
			page, next, err := y.Deletions(ctx, before, 0)
			if err != nil || len(page) == 0 {
				return err
			}
			for _, d := range page {
				if d.Purged != "" {
					fmt.Fprintf(out, "%s  deleted %s, gone for good\n", d.Site, localTime(d.At))
				} else {
					fmt.Fprintf(out, "%s  deleted %s, goes for good %s: %s, %s\n", d.Site, localTime(d.At), localTime(d.Until), d.Name,
						d.Address)
				}
			}
			before = next
		}
	})
}

// sweepCommand does at once what the server does every hour.
func sweepCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("sweep", flag.ContinueOnError)
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, _ func(string, string) error) error {
		swept, err := y.Sweep(ctx)
		if err == nil {
			fmt.Fprintf(out, "Gone for good: %d sites, %d photos.\n", swept.Sites, swept.Photos)
		}
		return err
	})
}

// sweepEvery is how often the server looks whose time is up.
const sweepEvery = time.Hour

// keepSwept sweeps the yard now and from then on until the context ends.
func keepSwept(ctx context.Context, y *yard.Yard, fault io.Writer) {
	for ctx.Err() == nil {
		if _, err := y.Sweep(ctx); err != nil && ctx.Err() == nil {
			fmt.Fprintf(fault, "yard: what was deleted could not be let go, and is tried again: %v\n", err)
		}
		select {
		case <-ctx.Done():
		case <-time.After(sweepEvery):
		}
	}
}

// devicesCommand lists devices, shuts one out, or forgets one that is shut out.
func devicesCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("devices", flag.ContinueOnError)
	withdraw := flags.String("withdraw", "", "shut out the device of this `identity`")
	forget := flags.String("forget", "", "delete what is kept of the shut out device of this `identity`")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		switch {
		case *withdraw != "":
			if err := y.Withdraw(ctx, *withdraw); err != nil {
				return fmt.Errorf("%s: %w", *withdraw, err)
			}
			fmt.Fprintln(out, "The device is shut out.")
			return note("withdrew", *withdraw)
		case *forget != "":
			if err := y.ForgetDevice(ctx, *forget); err != nil {
				return fmt.Errorf("%s: %w", *forget, err)
			}
			fmt.Fprintln(out, "Its name and addresses are deleted. What it sent stays, as of a withdrawn device.")
			return note("forgot", *forget)
		}
		all, err := y.Devices(ctx)
		for _, d := range all {
			fmt.Fprintf(out, "%s  %s, %s, last seen %s", d.ID, d.Name, d.Role, localTime(d.Seen))
			if d.Withdrawn != "" {
				fmt.Fprintf(out, ", shut out %s", localTime(d.Withdrawn))
			}
			fmt.Fprintln(out)
		}
		return err
	})
}

// rulesCommand shows the rules of the yard, or sets one.
func rulesCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("rules", flag.ContinueOnError)
	days := flags.Int(yard.KeepDeletedDays, -1,
		"for how many `days` a deleted site, or a photo that no site shows any more, can be brought back")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		rules, err := y.Rules(ctx)
		if err == nil && *days >= 0 {
			if rules, err = y.SetRule(ctx, yard.KeepDeletedDays, *days); err == nil {
				err = note("set a rule", yard.KeepDeletedDays)
			}
		}
		if err == nil {
			fmt.Fprintf(out, "%s: %d\n", yard.KeepDeletedDays, rules.KeepDeletedDays)
		}
		return err
	})
}
