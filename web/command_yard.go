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
	"pegpour/web/pairing"
	"pegpour/web/settings"
	"pegpour/web/wholefile"
)

// pairCommand prints a code to type or to scan.
func pairCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("pair", flag.ContinueOnError)
	place := yardFlags(flags)
	role := flags.String("role", string(yard.Crew), "`crew`, office or reader: what the device may do")
	person := flags.String("person", "", "`identity` of whose the device is, as \"pegpour users\" lists it; the role is the person's then")
	crew := flags.String("crew", "", "`name` of the crew that the device joins")
	url := flags.String("url", "",
		"`address` of the yard, to put into the picture; without it the picture holds the code alone")
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	if r := yard.Role(*role); r != yard.Crew && r != yard.Office && r != yard.Reader {
		return fmt.Errorf("%w: -role is %q, allowed crew, office and reader", errUsage, *role)
	}
	if *url != "" {
		if err := pairing.CheckAddress(*url); err != nil {
			return fmt.Errorf("%w: -url: %w", errUsage, err)
		}
	}
	y, err := place.openWith(ctx, yard.Options{}) // the first thing done to a new yard
	if err != nil {
		return err
	}
	defer y.Close()
	code, expires, err := y.NewCodeFor(ctx, yard.CodeFor{Role: yard.Role(*role), Crew: *crew, Person: *person})
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
	folder := backUpFolderFlag(flags)
	bare := flags.Bool("without-keys", false, "leave out what lets devices in; after restoring they are paired anew")
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	switch {
	case *to == "" && *folder == "":
		return fmt.Errorf("%w: -out names the file to write, or -backup-folder the folder of back-ups", errUsage)
	case *to == "" && *bare:
		return fmt.Errorf("%w: -without-keys goes with -out", errUsage)
	}
	y, err := place.open(ctx)
	if err != nil {
		return err
	}
	defer y.Close()
	if *to == "" {
		return backUpToFolder(ctx, y, *folder, out)
	}
	if _, err := os.Stat(*to); !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("%s is there already", *to)
	}
	backUp := y.BackUp
	if *bare {
		backUp = y.BackUpWithoutKeys
	}
	var e yard.Examination
	if err := wholefile.Make(*to, func(part string) error {
		err := backUp(ctx, part)
		if err == nil {
			e, err = yard.ExamineBackUp(ctx, part)
		}
		return err
	}); err != nil {
		return err
	}
	fmt.Fprintf(out, "The yard is in %s.\n", *to)
	if err := y.Note(ctx, yard.Entry{Address: "command line", Action: "backed up", Subject: ""}); err != nil {
		return err
	}
	if !e.Sound() {
		fmt.Fprintln(out, "It is as the yard is, and that is not sound:")
		listFindings(out, e.Findings)
		return errDamaged
	}
	fmt.Fprintf(out, "Looked through: %d sites, %d versions, %d photos. All of it is sound.\n", e.Sites, e.Revisions, e.Photos)
	return nil
}

// backUpToFolder makes a back-up as the server does by itself.
func backUpToFolder(ctx context.Context, y *yard.Yard, folder string, out io.Writer) error {
	r, err := y.BackUpTo(ctx, folder)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "The yard is in %s, with %d photos beside it, %d of them copied now.\n", filepath.Join(folder, r.File), r.Photos,
		r.New)
	if err := y.Note(ctx, yard.Entry{Address: "command line", Action: "backed up", Subject: ""}); err != nil {
		return err
	}
	for _, id := range r.Lacking {
		r.Examined.Findings = append(r.Examined.Findings, yard.Finding{Kind: yard.DamagedPhoto, Subject: id,
			Words: "it is damaged in the yard and not in the back-up", Mends: true})
	}
	if !r.Examined.Sound() {
		fmt.Fprintln(out, "It is as the yard is, and that is not sound:")
		listFindings(out, r.Examined.Findings)
		return errDamaged
	}
	fmt.Fprintf(out, "It was restored into a second place and looked through: %d sites, %d versions, %d photos. All of it is sound.\n",
		r.Examined.Sites, r.Examined.Revisions, r.Examined.Photos)
	return nil
}

// backUpsCommand lists the back-ups that the server made.
func backUpsCommand(_ context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("backups", flag.ContinueOnError)
	flags.String(settings.File, "", "`file` of settings (TOML), the same as the server's")
	folder := backUpFolderFlag(flags)
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	if *folder == "" {
		return fmt.Errorf("%w: -backup-folder says where they are", errUsage)
	}
	all, err := yard.BackUps(*folder)
	for _, b := range all {
		fmt.Fprintf(out, "%s  %s ago, %d bytes and the photos beside it\n", filepath.Join(*folder, b.File),
			time.Since(b.Made).Round(time.Minute), b.Size)
	}
	return err
}

// restoreCommand makes a new yard of such a file.
func restoreCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("restore", flag.ContinueOnError)
	place := yardFlags(flags)
	from := flags.String("in", "", "back-up `file`; one of those the server makes by itself needs the folder photos beside it")
	newest := flags.Bool("newest", false, "restore the newest back-up of -backup-folder")
	folder := backUpFolderFlag(flags)
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	if (*from == "") != *newest || *newest && *folder == "" {
		return fmt.Errorf("%w: -in names the back-up, or -newest takes that of -backup-folder", errUsage)
	}
	if *newest {
		all, err := yard.BackUps(*folder)
		if err != nil {
			return err
		}
		if len(all) == 0 {
			return fmt.Errorf("no back-up is in %s", *folder)
		}
		*from = filepath.Join(*folder, all[0].File)
		fmt.Fprintf(out, "From %s.\n", *from)
	}
	if err := place.check(); err != nil {
		return err
	}
	if err := yard.RestoreTo(ctx, *from, place.where(), place.options()); err != nil {
		return err
	}
	fmt.Fprintln(out, "The yard is restored.")
	return nil
}
