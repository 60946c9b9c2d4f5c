package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"pegpour/storage/yard"
	"pegpour/web/wholefile"
)

// checkCommand says what opening the yard's database would do, and looks through all that
// is in it. It changes nothing.
func checkCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("check", flag.ContinueOnError)
	place := yardFlags(flags)
	quick := flags.Bool("quick", false, "say what opening the yard would do, and do not look through what is in it")
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
		if !*quick {
			if err := lookThrough(ctx, place, out); err != nil {
				return err
			}
		}
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

// errDamaged is the end of a command that found damage.
var errDamaged = errors.New("the yard is damaged")

// lookThrough examines a yard of this program's layout.
func lookThrough(ctx context.Context, place yardPlace, out io.Writer) error {
	e, err := yard.ExamineAt(ctx, place.where(), place.options())
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "Looked through: %d sites, %d versions, %d photos.\n", e.Sites, e.Revisions, e.Photos)
	if e.Sound() {
		fmt.Fprintln(out, "All of it is sound.")
		return nil
	}
	listFindings(out, e.Findings)
	fmt.Fprintln(out, "Nothing was changed.")
	return errDamaged
}

func listFindings(out io.Writer, all []yard.Finding) {
	for _, f := range all {
		how := "cannot be mended"
		if f.Mends {
			how = "can be mended"
		}
		fmt.Fprintf(out, "  %-9s %s: %s (%s)\n", f.Kind, f.Subject, f.Words, how)
	}
}

// repairCommand mends a yard that no server uses, and keeps a copy of what was.
func repairCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("repair", flag.ContinueOnError)
	place := yardFlags(flags)
	to := flags.String("before", "", "`file` for a back-up of what was, made first; beside the data if not given")
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	y, err := place.openWith(ctx, yard.Options{Existing: true, Alone: true})
	if err != nil {
		return err
	}
	defer y.Close()
	e, err := y.Examine(ctx)
	if err != nil {
		return err
	}
	if e.Sound() {
		fmt.Fprintln(out, "All of it is sound: there is nothing to mend.")
		return nil
	}
	if *to == "" && *place.folder == "" {
		return fmt.Errorf("%w: -before names the file for a back-up, which is made before anything is changed", errUsage)
	}
	if *to == "" {
		*to = filepath.Join(*place.folder, "before-repair-"+time.Now().UTC().Format("2006-01-02T150405Z")+".sqlite")
	}
	if _, err := os.Stat(*to); !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("%s is there already", *to)
	}
	if err := wholefile.Make(*to, func(part string) error { return y.BackUp(ctx, part) }); err != nil {
		return fmt.Errorf("what was could not be kept, so nothing was changed: %w", err)
	}
	fmt.Fprintf(out, "What was is in %s.\n", *to)
	mended, left, err := y.Repair(ctx)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "Mended: %d.\n", len(mended))
	for _, f := range mended {
		fmt.Fprintf(out, "  %-9s %s: %s\n", f.Kind, f.Subject, f.Words)
	}
	if err := y.Note(ctx, yard.Entry{Address: "command line", Action: "repaired", Subject: fmt.Sprint(len(mended))}); err != nil {
		return err
	}
	if left.Sound() {
		fmt.Fprintln(out, "All of it is sound now.")
		return nil
	}
	fmt.Fprintf(out, "Left as it is: %d.\n", len(left.Findings))
	listFindings(out, left.Findings)
	return errDamaged
}
