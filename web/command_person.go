package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"strings"

	"pegpour/storage/yard"
	"pegpour/web/wholefile"
)

// personCommand finds what is held of a person, writes it to a file, and takes it out.
func personCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("person", flag.ContinueOnError)
	words := flags.String("name", "", "`name` or telephone number to look for")
	to := flags.String("out", "", "write all that is held to this `file` as JSON")
	drop := flags.Bool("delete", false, "delete the sites found, with all their versions, at once and for good")
	blank := flags.Bool("blank", false,
		"as -delete, but keep the newest version of each as a site of its own without the person")
	return onYard(ctx, flags, arguments, fault, func(y *yard.Yard, note func(string, string) error) error {
		if *words == "" || *drop && *blank {
			return fmt.Errorf("%w: -name says who, and one of -delete and -blank what becomes of it", errUsage)
		}
		held, err := y.ExportPerson(ctx, *words)
		if err != nil {
			return err
		}
		if *to != "" {
			if err := wholefile.Write(*to, func(w io.Writer) error {
				encoder := json.NewEncoder(w)
				encoder.SetIndent("", " ")
				encoder.SetEscapeHTML(false)
				return encoder.Encode(held)
			}); err != nil {
				return err
			}
			if err := note("handed out a person's data", ""); err != nil {
				return err
			}
		}
		for _, d := range held.Devices {
			fmt.Fprintf(out, "device %s  %s: \"pegpour devices\" shuts it out and forgets it\n", d.ID, d.Name)
		}
		for _, at := range held.Sites {
			if !*drop && !*blank {
				fmt.Fprintf(out, "site %s  %s: %s\n", at.Site, at.Name, strings.Join(at.Places, ", "))
				continue
			}
			_, heir, err := y.ErasePerson(ctx, "", at.Site, *words, *blank && at.Deleted == "")
			if err != nil {
				return fmt.Errorf("%s: %w", at.Site, err)
			}
			fmt.Fprintf(out, "site %s is gone for good", at.Site)
			if heir != "" {
				fmt.Fprintf(out, "; without the person it is %s", heir)
			}
			fmt.Fprintln(out)
			if err := note("erased a person", at.Site); err != nil {
				return err
			}
		}
		if *drop || *blank {
			fmt.Fprintln(out, "Back-up files made before still hold the person. Phones follow at their next contact.")
		}
		return nil
	})
}
