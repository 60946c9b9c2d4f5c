package main

import (
	"context"
	"flag"
	"fmt"
	"log/slog"
	"os"
	"strings"
	"time"

	"pegpour/storage/yard"
	"pegpour/web/api"
	"pegpour/web/hooks"
	"pegpour/web/pairing"
)

// signInSettings say how people sign in at a provider of identities.
type signInSettings struct {
	issuer, client, secretFile, name, allow, address *string
}

func signInFlags(flags *flag.FlagSet) signInSettings {
	return signInSettings{
		issuer: flags.String("sign-in-issuer", "", "`address` of the provider of identities (OpenID Connect) at which people sign in"),
		client: flags.String("sign-in-client", "", "`name` of this yard at the provider"),
		secretFile: flags.String("sign-in-secret-file", "",
			"`file` that holds what the provider gave this yard to prove itself by"),
		name: flags.String("sign-in-name", "", "`name` of the provider, for the button"),
		allow: flags.String("sign-in-allow", "",
			"`who` comes in with which role: office=ute@shop.example,crew=@shop.example; others only if the office added them"),
		address: flags.String("sign-in-address", "", "`address` of this yard as browsers reach it, such as https://yard.example"),
	}
}

// read returns nil where nobody signs in.
func (s signInSettings) read() (*api.SignIn, error) {
	if *s.issuer == "" {
		return nil, nil
	}
	if *s.client == "" || *s.address == "" {
		return nil, fmt.Errorf("%w: with -sign-in-issuer go -sign-in-client and -sign-in-address", errUsage)
	}
	if err := pairing.CheckAddress(*s.address); err != nil {
		return nil, fmt.Errorf("%w: -sign-in-address: %w", errUsage, err)
	}
	allow, err := api.ReadAllowed(*s.allow)
	if err != nil {
		return nil, fmt.Errorf("%w: -sign-in-allow: %w", errUsage, err)
	}
	secret := []byte{}
	if *s.secretFile != "" {
		if secret, err = os.ReadFile(*s.secretFile); err != nil {
			return nil, err
		}
	}
	with := &api.SignIn{Name: *s.name, Issuer: *s.issuer, ClientID: *s.client, ClientSecret: strings.TrimSpace(string(secret)),
		Address: *s.address, Allow: allow}
	if with.Name == "" {
		with.Name = *s.issuer
	}
	return with, nil
}

// tellEvery is how often it is looked for what other programs are to be told.
const tellEvery = 5 * time.Second

// keepTold tells other programs of changes until the context ends.
func keepTold(ctx context.Context, y *yard.Yard, log *slog.Logger) {
	hooks.Teller{Yard: y, Now: time.Now}.Run(ctx, tellEvery, func(err error) { log.Error("webhooks are not told", "error", err) })
}
