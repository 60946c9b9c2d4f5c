package main

import (
	"context"
	"flag"
	"fmt"
	"os"

	"pegpour/storage/yard"
)

// yardPlace is where the yard's data is, as given on the command line.
type yardPlace struct{ folder, database *string }

func yardFlags(flags *flag.FlagSet) yardPlace {
	return yardPlace{
		flags.String("data", "", "`folder` of the yard's data, made if it is not there"),
		flags.String("database", "", "keep the yard's data in this PostgreSQL instead: `postgres://…`; "+
			databaseVariable+" in the environment keeps a password out of the list of processes"),
	}
}

// databaseVariable may hold what -database would.
const databaseVariable = "PEGPOUR_DATABASE"

func (p yardPlace) given() bool { return p.where() != "" }

func (p yardPlace) where() string {
	switch {
	case *p.database != "":
		return *p.database
	case *p.folder != "":
		return *p.folder
	}
	return os.Getenv(databaseVariable)
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

func (p yardPlace) open(ctx context.Context) (*yard.Yard, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	return yard.Open(ctx, p.where(), yard.Options{})
}
