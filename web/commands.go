package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
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
		{"restore", "make a new yard of such a file", restoreCommand},
		{"check", "say what starting this program would do to the yard's database, and change nothing", checkCommand},
		{"sites", "list the sites of the yard", sitesCommand},
		{"delete", "delete a site from the yard and from every device", deleteCommand},
		{"deleted", "list the deleted sites, bring one back, or let one go before its time", deletedCommand},
		{"sweep", "let go for good what was deleted and whose time is up, as the server does every hour", sweepCommand},
		{"devices", "list the devices of the yard, shut one out, or forget one that is shut out", devicesCommand},
		{"person", "find what the yard holds of a person, write it to a file, take it out", personCommand},
		{"rules", "show or set the rules of the yard", rulesCommand},
		{"plan", "read a survey file and write the plan as JSON", planCommand},
		{"drawing", "read a survey file and write the set-out drawing as SVG", drawingCommand},
		{"quantities", "read a survey file and write the quantities as CSV", quantitiesCommand},
		{"sheets", "read a survey file and write the sheets for a reader as PDF", sheetsCommand},
		{"demo", "write a demo site as a survey file", demoCommand},
	}
}

// errUsage is wrapped by errors that the caller mends by typing differently.
var errUsage = errors.New("not understood")

// parseFlags reads flags and refuses words that no flag takes. It returns
// flag.ErrHelp after showing the flags, or an error that wraps errUsage.
func parseFlags(flags *flag.FlagSet, arguments []string, fault io.Writer) error {
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
