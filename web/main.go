// Command pegpour is the server of the yard and the command line: it serves
// the browser app from one binary that runs anywhere.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	_ "golang.org/x/crypto/x509roots/fallback" // where the machine has no certificates of authorities, as in an image with nothing else
)

func main() {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	told := make(chan os.Signal, 1)
	signal.Notify(told, os.Interrupt, syscall.SIGTERM)
	go func() {
		<-told
		signal.Stop(told) // a second signal ends the program at once
		stop()
	}()
	os.Exit(execute(ctx, commands(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// Exit codes of the command line.
const (
	exitDone  = 0
	exitFault = 1 // the command could not do its work
	exitUsage = 2 // the command was not understood
)

// execute runs the command named by the first argument and returns the exit
// code. Results go to out, what went wrong to fault.
func execute(ctx context.Context, all []command, arguments []string, in io.Reader, out, fault io.Writer) int {
	if len(arguments) == 0 {
		usage(fault, all)
		return exitUsage
	}
	if arguments[0] == "help" || arguments[0] == "-h" || arguments[0] == "--help" {
		usage(out, all)
		return exitDone
	}
	for _, c := range all {
		if c.name != arguments[0] {
			continue
		}
		err := c.run(ctx, arguments[1:], in, out, fault)
		switch {
		case err == nil:
			return exitDone
		case errors.Is(err, flag.ErrHelp):
			return exitDone
		case errors.Is(err, errUsage):
			fmt.Fprintf(fault, "pegpour %s: %v\n", c.name, err)
			return exitUsage
		default:
			fmt.Fprintf(fault, "pegpour %s: %v\n", c.name, err)
			return exitFault
		}
	}
	fmt.Fprintf(fault, "pegpour: there is no command %q\n", arguments[0])
	usage(fault, all)
	return exitUsage
}

func usage(w io.Writer, all []command) {
	fmt.Fprintln(w, "Usage: pegpour <command> [flags]")
	fmt.Fprintln(w)
	for _, c := range all {
		fmt.Fprintf(w, "  %-11s %s\n", c.name, c.does)
	}
	fmt.Fprintln(w)
	fmt.Fprintln(w, "pegpour <command> -h lists the flags of a command.")
}
