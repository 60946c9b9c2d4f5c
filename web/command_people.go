package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"strconv"
	"strings"

	"pegpour/engine/practice"
	"pegpour/storage/yard"
)

// usersCommand lists the people, adds one, changes one, shuts one out.
func usersCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("users", flag.ContinueOnError)
	add := flags.String("add", "", "add a person of this `name`, with -role and -email")
	change := flags.String("change", "", "`identity` of a person who gets the -role given")
	withdraw := flags.String("withdraw", "", "`identity` of a person to shut out with all devices")
	again := flags.String("again", "", "`identity` of a person to let in again")
	role := flags.String("role", string(yard.Crew), "`crew`, office or reader")
	email := flags.String("email", "", "`address` of mail with which the person signs in")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		var err error
		done := func(action string, u yard.User, err error) error {
			if err != nil {
				return err
			}
			return note(action, u.ID)
		}
		yes, no := true, false
		switch {
		case *add != "":
			u, bad := y.AddUser(ctx, *add, *email, yard.Role(*role))
			err = done("added a person", u, bad)
		case *change != "":
			r := yard.Role(*role)
			u, bad := y.ChangeUser(ctx, *change, yard.UserChange{Role: &r})
			err = done("changed a person", u, bad)
		case *withdraw != "":
			u, bad := y.ChangeUser(ctx, *withdraw, yard.UserChange{Withdrawn: &yes})
			err = done("shut a person out", u, bad)
		case *again != "":
			u, bad := y.ChangeUser(ctx, *again, yard.UserChange{Withdrawn: &no})
			err = done("let a person in again", u, bad)
		}
		if err != nil {
			return err
		}
		all, err := y.Users(ctx)
		for _, u := range all {
			state := fmt.Sprintf("%d devices", u.Devices)
			if u.Withdrawn != "" {
				state = "shut out since " + u.Withdrawn
			}
			fmt.Fprintf(out, "%s  %-6s  %s %s  %s\n", u.ID, u.Role, u.Name, u.Email, state)
		}
		return err
	})
}

// crewsCommand shows the work by crew, puts a device into a crew, says whose a site is.
func crewsCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("crews", flag.ContinueOnError)
	device := flags.String("device", "", "`identity` of a device to put into the -crew given")
	site := flags.String("site", "", "`identity` of a site that becomes that of the -crew given; several are joined by commas, "+
		"none makes it everybody's")
	crew := flags.String("crew", "", "`name` of the crew")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		if *device != "" {
			if _, err := y.ChangeDevice(ctx, *device, yard.DeviceChange{Crew: crew}); err != nil {
				return err
			}
			if err := note("changed a device", *device); err != nil {
				return err
			}
		}
		if *site != "" {
			crews := strings.FieldsFunc(*crew, func(r rune) bool { return r == ',' })
			if err := y.SetSiteCrews(ctx, *site, crews); err != nil {
				return err
			}
			if err := note("said whose a site is", *site); err != nil {
				return err
			}
		}
		work, err := y.WorkByCrew(ctx)
		for _, w := range work {
			name := w.Crew
			if name == "" {
				name = "(no crew)"
			}
			fmt.Fprintf(out, "%-20s  %6d not quoted  %6d quoted  %6d poured\n", name, w.None, w.Quoted, w.Poured)
		}
		return err
	})
}

// machinesCommand lists the other programs that may come in, and lets one in.
func machinesCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("machines", flag.ContinueOnError)
	add := flags.String("add", "", "let a program of this `name` in and print its key, once")
	scope := flags.String("scope", yard.ScopeRead, "what it may, joined by commas: `read`, write, mark, backup")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		if *add != "" {
			d, token, err := y.AddMachine(ctx, *add, strings.Split(*scope, ","))
			if err != nil {
				return err
			}
			if err := note("let a machine in", d.Name); err != nil {
				return err
			}
			fmt.Fprintf(out, "%s\n", token)
			return nil
		}
		all, err := y.Devices(ctx)
		for _, d := range all {
			if d.Role == yard.Machine && d.Withdrawn == "" {
				fmt.Fprintf(out, "%s  %s  %s  last seen %s\n", d.ID, d.Name, strings.Join(d.Scope, ","), d.Seen)
			}
		}
		return err
	})
}

// webhooksCommand lists the webhooks and what was given up, adds one, deletes one, sends
// again.
func webhooksCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("webhooks", flag.ContinueOnError)
	add := flags.String("add", "", "tell this `address` of changes, and print the secret they are signed with, once")
	kinds := flags.String("kinds", "", "what it is told, joined by commas; all `kinds` without it: "+strings.Join(yard.Kinds(), ", "))
	drop := flags.String("delete", "", "`identity` of a webhook to delete")
	pause := flags.String("pause", "", "`identity` of a webhook to pause")
	resume := flags.String("resume", "", "`identity` of a webhook to go on with")
	dead := flags.String("dead", "", "list what was given up of the webhook with this `identity`")
	again := flags.String("send-again", "", "`identity` of a delivery to send again")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		switch {
		case *add != "":
			w, secret, err := y.AddWebhook(ctx, "", *add, strings.FieldsFunc(*kinds, func(r rune) bool { return r == ',' }))
			if err != nil {
				return err
			}
			fmt.Fprintln(out, secret)
			return note("added a webhook", w.URL)
		case *drop != "":
			if err := y.DropWebhook(ctx, *drop); err != nil {
				return err
			}
			return note("deleted a webhook", *drop)
		case *pause != "", *resume != "":
			w, err := y.PauseWebhook(ctx, *pause+*resume, *pause != "")
			if err != nil {
				return err
			}
			return note(map[bool]string{true: "paused a webhook", false: "went on with a webhook"}[*pause != ""], w.URL)
		case *again != "":
			if _, err := y.Again(ctx, *again); err != nil {
				return err
			}
			return note("sent a delivery again", *again)
		case *dead != "":
			all, err := y.Deliveries(ctx, *dead, yard.DeliveryDead, 0, 0)
			for _, d := range all {
				fmt.Fprintf(out, "%s  %s  %s\n  %s\n", d.ID, d.Created, d.Said, d.Body)
			}
			return err
		}
		all, err := y.Webhooks(ctx)
		for _, w := range all {
			state := fmt.Sprintf("%d waiting, %d given up", w.Waiting, w.Dead)
			if w.Paused != "" {
				state = "paused since " + w.Paused + ", " + state
			}
			fmt.Fprintf(out, "%s  %s  %s  %s\n", w.ID, w.URL, strings.Join(w.Kinds, ","), state)
		}
		return err
	})
}

// shopRulesCommand shows the rules by which the shop builds and their history, and sets
// one.
func shopRulesCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("shop-rules", flag.ContinueOnError)
	set := flags.String("set", "", "`rule=value` to set, such as strip.width=700; without a value it goes back to its default")
	history := flags.Bool("history", false, "list what was changed, the latest first")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		now, err := y.ShopRules(ctx)
		if err != nil {
			return err
		}
		if *set != "" {
			if now, err = setShopRule(ctx, y, now, *set); err != nil {
				return err
			}
			if err := note("changed the shop's rules", strconv.FormatInt(now.Revision, 10)); err != nil {
				return err
			}
		}
		if *history {
			past, err := y.ShopRulesPast(ctx, 0, 0)
			for _, p := range past {
				by := p.By
				if p.Device == "" {
					by = "the command line"
				}
				fmt.Fprintf(out, "%s  %s: %s → %s, by %s\n", p.At, p.Key, valueOf(p.Before), valueOf(p.Value), by)
			}
			return err
		}
		for _, r := range practice.Rules() {
			if v, own := now.Rules[r.Key]; own {
				fmt.Fprintf(out, "%s: %s (default %s)\n", r.Key, valueOf(&v), valueOf(&r.Default))
			}
		}
		return nil
	})
}

func valueOf(v *float64) string {
	if v == nil {
		return "default"
	}
	return strconv.FormatFloat(*v, 'g', -1, 64)
}

func setShopRule(ctx context.Context, y *yard.Yard, now yard.ShopRules, words string) (yard.ShopRules, error) {
	key, text, _ := strings.Cut(words, "=")
	r, known := practice.RuleByKey(key)
	if !known {
		return now, fmt.Errorf("%w: there is no rule %q", errUsage, key)
	}
	c := yard.RuleChange{Key: key}
	if v, here := now.Rules[key]; here {
		c.From = &v
	}
	if text != "" {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return now, fmt.Errorf("%w: %q is no number", errUsage, text)
		}
		if err := r.Check(v); err != nil {
			return now, err
		}
		c.To = &v
	}
	now, refused, err := y.SetShopRules(ctx, yard.Device{}, []yard.RuleChange{c})
	if err == nil && len(refused) > 0 {
		err = yard.ErrChanged
	}
	return now, err
}
