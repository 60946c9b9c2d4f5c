package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"slices"

	"pegpour/web/settings"
)

// command is one word after "pegpour".
type command struct {
	name string
	does string // one line for the list of commands
	run  func(ctx context.Context, arguments []string, in io.Reader, out, fault io.Writer) error
}

// commands lists every command, in the order in which help shows them. A new
// one adds a line here and stands in the file of its family, command_<family>.go.
func commands() []command {
	return []command{
		{"serve", "serve the app, by default at http://localhost:8080", serve},
		{"pair", "print a code that lets a phone or the office into the yard", pairCommand},
		{"backup", "write all that the yard keeps to one file, while it runs", backUpCommand},
		{"backups", "list the back-ups that the server makes by itself", backUpsCommand},
		{"restore", "make a new yard of such a file", restoreCommand},
		{"check", "say what starting this program would do to the yard, look through all of it, and change nothing", checkCommand},
		{"repair", "mend what check found and can be mended, and list what cannot", repairCommand},
		{"sites", "list the sites of the yard", sitesCommand},
		{"export", "write one site with its photos to a file, which the app restores", exportCommand},
		{"delete", "delete a site from the yard and from every device", deleteCommand},
		{"deleted", "list the deleted sites, bring one back, or let one go before its time", deletedCommand},
		{"sweep", "let go for good what was deleted and whose time is up, as the server does every hour", sweepCommand},
		{"devices", "list the devices of the yard, shut one out, or forget one that is shut out", devicesCommand},
		{"users", "list the people, add one, give one another role, shut one out", usersCommand},
		{"crews", "show the work by crew, put a device into a crew, say whose a site is", crewsCommand},
		{"machines", "list the other programs that may come in, let one in", machinesCommand},
		{"webhooks", "list the addresses that are told of changes, add one, send again what was given up", webhooksCommand},
		{"person", "find what the yard holds of a person, write it to a file, take it out", personCommand},
		{"rules", "show or set the rules of the yard", rulesCommand},
		{"limits", "show or set how much the yard takes, in all and of one device", limitsCommand},
		{"shop-rules", "show or set the rules by which the shop builds, with their history", shopRulesCommand},
		{"version", "say which program this is", versionCommand},
		{"plan", "read a survey file and write the plan as JSON", planCommand},
		{"drawing", "read a survey file and write the set-out drawing as SVG, or with -out X.dxf all drawings in true size", drawingCommand},
		{"pegs", "read a survey file and write the pegs as points, CSV", pegsCommand},
		{"place", "read a survey file and write its place on the map, GeoJSON", placeCommand},
		{"quantities", "read a survey file and write the quantities as CSV", quantitiesCommand},
		{"quote", "read a survey file and write what it costs, line by line, as CSV", quoteCommand},
		{"sheets", "read a survey file and write the sheets for a reader as PDF", sheetsCommand},
		{"demo", "write a demo site as a survey file", demoCommand},
	}
}

// errUsage is wrapped by errors that the caller mends by typing differently.
var errUsage = errors.New("not understood")

// parseFlags reads flags and refuses words that no flag takes. It returns
// flag.ErrHelp after showing the flags, or an error that wraps errUsage.
// What was not typed comes from the environment and the file of settings.
func parseFlags(flags *flag.FlagSet, arguments []string, fault io.Writer) error {
	if err := parseWords(flags, arguments, fault); err != nil {
		return err
	}
	_, err := configure(flags)
	return err
}

// parseWords is parseFlags for what was typed alone.
func parseWords(flags *flag.FlagSet, arguments []string, fault io.Writer) error {
	flags.SetOutput(fault)
	err := flags.Parse(arguments)
	if errors.Is(err, flag.ErrHelp) {
		return err
	}
	if err != nil {
		return fmt.Errorf("%w: %v", errUsage, err)
	}
	if flags.NArg() > 0 {
		return fmt.Errorf("%w: %q is one word too many", errUsage, flags.Arg(0))
	}
	return nil
}

// configure sets what was not typed from the environment and the file of settings, for
// a command that has that flag.
func configure(flags *flag.FlagSet) (settings.Given, error) {
	if flags.Lookup(settings.File) == nil {
		return settings.Given{}, nil
	}
	given, err := settingsReader().Apply(flags)
	if err != nil {
		err = fmt.Errorf("%w: %w", errUsage, err)
	}
	return given, err
}

// settingsReader knows every setting of the server. Other commands take those of them
// that they have a flag for.
func settingsReader() settings.Reader {
	flags, _ := serveFlags()
	r := settings.Reader{Instead: [][]string{{"data", "database"}}}
	flags.VisitAll(func(f *flag.Flag) {
		if !slices.Contains(serveOnce, f.Name) {
			r.Known = append(r.Known, f.Name)
		}
	})
	return r
}
