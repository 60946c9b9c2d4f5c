package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"time"

	"pegpour/storage/yard"
	"pegpour/web/pairing"
	"pegpour/web/wholefile"
)

// pairCommand prints a code to type or to scan.
func pairCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("pair", flag.ContinueOnError)
	place := yardFlags(flags)
	role := flags.String("role", string(yard.Crew), "`crew` or office: what the device may do")
	url := flags.String("url", "",
		"`address` of the yard, to put into the picture; without it the picture holds the code alone")
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	if r := yard.Role(*role); r != yard.Crew && r != yard.Office {
		return fmt.Errorf("%w: -role is %q, allowed crew and office", errUsage, *role)
	}
	if *url != "" {
		if err := pairing.CheckAddress(*url); err != nil {
			return fmt.Errorf("%w: -url: %w", errUsage, err)
		}
	}
	y, err := place.open(ctx)
	if err != nil {
		return err
	}
	defer y.Close()
	code, expires, err := y.NewCode(ctx, yard.Role(*role))
	if err != nil {
		return err
	}
	if err := y.Note(ctx, yard.Entry{Address: "command line", Action: "made a code", Subject: *role}); err != nil {
		return err
	}
	text := code
	if *url != "" {
		text = pairing.Link(*url, yard.Role(*role), code)
	}
	picture, err := pairing.Blocks(text)
	if err != nil {
		return err
	}
	if *url != "" {
		fmt.Fprintln(out, text)
	}
	until := expires.Local().Format(time.TimeOnly)
	fmt.Fprintf(out, "%s\n%s\n\nFor one %s device, once, until %s.\n", picture, code, *role, until)
	return nil
}

// backUpCommand writes the whole yard to a file that is not there yet.
func backUpCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("backup", flag.ContinueOnError)
	place := yardFlags(flags)
	to := flags.String("out", "", "`file` to write, which must not be there yet")
	bare := flags.Bool("without-keys", false, "leave out what lets devices in; after restoring they are paired anew")
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	if *to == "" {
		return fmt.Errorf("%w: -out names the file to write", errUsage)
	}
	y, err := place.open(ctx)
	if err != nil {
		return err
	}
	defer y.Close()
	if _, err := os.Stat(*to); !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("%s is there already", *to)
	}
	backUp := y.BackUp
	if *bare {
		backUp = y.BackUpWithoutKeys
	}
	if err := wholefile.Make(*to, func(part string) error { return backUp(ctx, part) }); err != nil {
		return err
	}
	fmt.Fprintf(out, "The yard is in %s.\n", *to)
	return y.Note(ctx, yard.Entry{Address: "command line", Action: "backed up", Subject: ""})
}

// restoreCommand makes a new yard of such a file.
func restoreCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("restore", flag.ContinueOnError)
	place := yardFlags(flags)
	from := flags.String("in", "", "back-up `file`")
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	if *from == "" {
		return fmt.Errorf("%w: -in names the back-up", errUsage)
	}
	if err := place.check(); err != nil {
		return err
	}
	if err := yard.Restore(ctx, *from, place.where()); err != nil {
		return err
	}
	fmt.Fprintln(out, "The yard is restored.")
	return nil
}

// checkCommand says what opening the yard's database would do. It changes nothing.
func checkCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("check", flag.ContinueOnError)
	place := yardFlags(flags)
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	if err := place.check(); err != nil {
		return err
	}
	u, err := yard.CheckUpgrade(ctx, place.where(), yard.Options{})
	if err != nil {
		return err
	}
	switch {
	case u.From == 0:
		fmt.Fprintf(out, "There is no yard here yet: one of layout %d would be made.\n", u.To)
	case !u.Due():
		fmt.Fprintf(out, "The database has layout %d, which is this program's: nothing would be changed.\n", u.From)
	case yard.IsPostgres(place.where()):
		fmt.Fprintf(out, "The database has layout %d; this program would bring it to %d.\nBefore that every table would be "+
			"copied, in the same transaction, to a table whose name begins with %s.\n", u.From, u.To, u.BackUp)
	default:
		fmt.Fprintf(out, "The database has layout %d; this program would bring it to %d.\nBefore that it would be copied to %s: "+
			"%d bytes at most%s.\n", u.From, u.To, u.BackUp, u.Needs,
			map[bool]string{true: fmt.Sprintf(", %d are free", u.Free)}[u.Free >= 0])
	}
	fmt.Fprintln(out, "Nothing was changed.")
	return nil
}
