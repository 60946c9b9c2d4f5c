package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"strings"
	"time"

	"pegpour/engine/progress"
	"pegpour/storage/yard"
	"pegpour/web/api"
	"pegpour/web/wholefile"
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
	far := flags.String("far", "", "only those at this `step`: "+strings.Join(progress.Names(), ", ")+" or "+yard.FarUnknown)
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, _ func(string, string) error) error {
		if *far != "" { // no server may have run since the layout was changed
			if _, err := y.TellFar(ctx, true); err != nil {
				return err
			}
		}
		for before := int64(0); ; {
			page, err := y.Sites(ctx, yard.Query{Search: *search, Far: *far, Before: before})
			if err != nil || len(page) == 0 {
				return err
			}
			for _, s := range page {
				fmt.Fprintf(out, "%s  %s, %s, %s: %s\n", s.ID, s.Name, s.Address, s.Client, s.Far)
				before = s.Turn
			}
		}
	})
}

// exportCommand writes one site to a file, which the app restores.
func exportCommand(ctx context.Context, arguments []string, _ io.Reader, _, fault io.Writer) error {
	flags := flag.NewFlagSet("export", flag.ContinueOnError)
	site := flags.String("site", "", "`identity` of the site, as \"pegpour sites\" lists it")
	to := flags.String("out", "", "`file` to write; one that is there is replaced once the new one is whole")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		if *site == "" || *to == "" {
			return fmt.Errorf("%w: -site names the site, and -out the file", errUsage)
		}
		export, err := api.NewExport(ctx, y, *site, time.Now())
		if err == nil {
			err = wholefile.Write(*to, func(w io.Writer) error { return export.Write(ctx, w) })
		}
		if err != nil {
			return fmt.Errorf("%s: %w", *site, err)
		}
		return note("exported", *site)
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
			fmt.Fprintf(out, "Gone for good: %d sites, %d photos, %d versions that waited too long for what they came from, "+
				"%d photos that were begun and not gone on with.\n", swept.Sites, swept.Photos, swept.Waiting, swept.Parts)
		}
		return err
	})
}

// sweepEvery is how often the server looks whose time is up.
const sweepEvery = time.Hour

// keepSwept sweeps the yard now and from then on until the context ends.
func keepSwept(ctx context.Context, y *yard.Yard, log *slog.Logger) {
	var swept time.Time // the store
	for ctx.Err() == nil {
		if _, err := y.Sweep(ctx); err != nil && ctx.Err() == nil {
			log.Error("what was deleted could not be let go, and is tried again", "error", err)
		}
		select {
		case <-ctx.Done():
		case <-time.After(sweepEvery):
		}
		if time.Since(swept) > sweepStoreEvery {
			swept = time.Now()
			if _, err := y.SweepStore(ctx); err != nil && ctx.Err() == nil {
				log.Error("the store of photos could not be looked through, and is tried again", "error", err)
			}
		}
	}
}

// sweepStoreEvery is how often the store of photos is looked through for what belongs to
// no photo.
const sweepStoreEvery = 24 * time.Hour

// How often the server tells the steps of sites that do not have theirs, which a server of
// before beside it wrote, and how often of those it could not read.
const (
	tellFarEvery = time.Minute
	tellFarAgain = time.Hour
)

// keepTelling tells them now and from then on until the context ends.
func keepTelling(ctx context.Context, y *yard.Yard, log *slog.Logger) {
	var tried time.Time
	for ctx.Err() == nil {
		again := time.Since(tried) > tellFarAgain
		if again {
			tried = time.Now()
		}
		told, err := y.TellFar(ctx, again)
		if told > 0 {
			log.Info("it was told how far sites are", "number", told)
		}
		if err != nil && ctx.Err() == nil {
			log.Error("of some sites it could not be told how far they are, and it is tried again", "error", err)
		}
		select {
		case <-ctx.Done():
		case <-time.After(tellFarEvery):
		}
	}
}

// When photos of the database are moved into the store: once the server has been up for a
// while, so that a server of before beside it, which finds none in the store, is brought
// up to date by then. A photo is not moved while the store fails.
const (
	moveAfter = 10 * time.Minute
	moveAgain = 10 * time.Minute
)

// keepMoving moves photos into the store until none is left, or the context ends.
func keepMoving(ctx context.Context, y *yard.Yard, log *slog.Logger) {
	for wait := moveAfter; ; wait = moveAgain {
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
		moved, err := y.MovePhotos(ctx)
		if moved > 0 {
			log.Info("photos were moved into the store", "number", moved)
		}
		if err != nil && ctx.Err() == nil {
			log.Error("photos are still to be moved into the store, and it is tried again", "error", err)
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
	apart := flags.Int(yard.CrewsApart, -1,
		"`1`: a new site is the crew's whose device sent it first, and other crews do not see it; 0: everybody's")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		rules, err := y.Rules(ctx)
		if err == nil && *apart >= 0 {
			if rules, err = y.SetRule(ctx, yard.CrewsApart, *apart); err == nil {
				err = note("set a rule", yard.CrewsApart)
			}
		}
		if err == nil && *days >= 0 {
			if rules, err = y.SetRule(ctx, yard.KeepDeletedDays, *days); err == nil {
				err = note("set a rule", yard.KeepDeletedDays)
			}
		}
		if err == nil {
			fmt.Fprintf(out, "%s: %d\n%s: %d\n", yard.KeepDeletedDays, rules.KeepDeletedDays, yard.CrewsApart,
				map[bool]int{true: 1}[rules.CrewsApart])
		}
		return err
	})
}

// limitsCommand shows how much the yard takes, or sets it.
func limitsCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("limits", flag.ContinueOnError)
	given := map[string]*int{}
	for name, does := range map[string]string{
		yard.FullYard: "how many `megabytes` the yard takes in all; 0 is without end", yard.FullYardSites: "how many `sites` in all",
		yard.FullDevice: "how many `megabytes` of one device", yard.FullDeviceSites: "how many `sites` of one device",
	} {
		given[name] = flags.Int(name, -1, does)
	}
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		limits, err := y.Limits(ctx)
		if err != nil {
			return err
		}
		values := []struct {
			name string
			to   *int
		}{{yard.FullYard, &limits.YardMegabytes}, {yard.FullYardSites, &limits.YardSites},
			{yard.FullDevice, &limits.DeviceMegabytes}, {yard.FullDeviceSites, &limits.DeviceSites}}
		changed := false
		for _, v := range values {
			if n := *given[v.name]; n >= 0 {
				*v.to, changed = n, true
			}
		}
		if changed {
			if err := errors.Join(y.SetLimits(ctx, limits), note("set limits", "")); err != nil {
				return err
			}
		}
		for _, v := range values {
			fmt.Fprintf(out, "%s: %d\n", v.name, *v.to)
		}
		return nil
	})
}
