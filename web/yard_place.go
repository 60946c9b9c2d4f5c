package main

import (
	"context"
	"flag"
	"fmt"

	"pegpour/storage/yard"
	"pegpour/web/settings"
)

// yardPlace is where the yard's data is, as given on the command line, in the
// environment or in the file of settings.
type yardPlace struct{ folder, database, photos *string }

func yardFlags(flags *flag.FlagSet) yardPlace {
	flags.String(settings.File, "", "`file` of settings (TOML), the same as the server's")
	return yardPlace{
		flags.String("data", "", "`folder` of the yard's data, made by serve and pair if it is not there"),
		flags.String("database", "", "keep the yard's data in this PostgreSQL instead: `postgres://…`; "+
			"the file or the environment keeps a password out of the list of processes"),
		flags.String("photos", "", "keep photos in this store: `s3://bucket?region=…` or file:///folder; "+
			"without it they are in the folder, or in PostgreSQL"),
	}
}

// options are those that the command line gives.
func (p yardPlace) options() yard.Options { return yard.Options{Photos: *p.photos} }

func (p yardPlace) given() bool { return p.where() != "" }

func (p yardPlace) where() string {
	if *p.database != "" {
		return *p.database
	}
	return *p.folder
}

// check wants exactly one place.
func (p yardPlace) check() error {
	switch {
	case *p.folder != "" && *p.database != "":
		return fmt.Errorf("%w: -data and -database exclude one another", errUsage)
	case *p.database != "" && !yard.IsPostgres(*p.database):
		return fmt.Errorf("%w: -database starts with postgres://", errUsage)
	case !p.given():
		return fmt.Errorf("%w: -data or -database says where the yard's data is", errUsage)
	}
	return nil
}

// look says what opening the yard would do, and changes nothing.
func (p yardPlace) look(ctx context.Context) (string, error) {
	if err := p.check(); err != nil {
		return "", err
	}
	u, err := yard.CheckUpgrade(ctx, p.where(), yard.Options{})
	where := yard.Plainly(p.where())
	switch {
	case err != nil:
		return "", err
	case u.From == 0:
		return fmt.Sprintf("There is no yard in %s yet: one of layout %d would be made.", where, u.To), nil
	case u.Due():
		return fmt.Sprintf("The yard in %s has layout %d; it would be brought to %d, and before that kept as %s.", where, u.From,
			u.To, u.BackUp), nil
	}
	return fmt.Sprintf("The yard in %s has layout %d, which is this program's.", where, u.From), nil
}

// open opens the yard that is there: where nothing is, none is made.
func (p yardPlace) open(ctx context.Context) (*yard.Yard, error) {
	return p.openWith(ctx, yard.Options{Existing: true})
}

func (p yardPlace) openWith(ctx context.Context, o yard.Options) (*yard.Yard, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	o.Photos = *p.photos
	return yard.Open(ctx, p.where(), o)
}
