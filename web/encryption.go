package main

import (
	"context"
	"crypto/tls"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"time"

	"golang.org/x/crypto/acme"
	"golang.org/x/crypto/acme/autocert"

	"pegpour/web/certificate"
)

// encryption is how the server is reached.
type encryption struct {
	cert, key *string
	insecure  *bool
	// acme are the names for which certificates are fetched by RFC 8555.
	acme, acmeMail, acmeFolder, acmeDirectory *string

	files  *certificate.Files // once it listens with files
	client *http.Client       // for ACME; nil is the usual one
}

func tlsFlags(flags *flag.FlagSet) *encryption {
	return &encryption{
		cert:     flags.String("cert", "", "certificate `file` (PEM), for https; read again when it changes"),
		key:      flags.String("key", "", "`file` with the certificate's key (PEM)"),
		insecure: flags.Bool("insecure-http", false, "serve plain http to other machines, as behind a proxy that encrypts"),
		acme: flags.String("acme", "", "fetch and renew a certificate for these `names`, with commas between: the server "+
			"must be reached from the internet at port 443 under each. It accepts the terms of the certificate authority"),
		acmeMail:   flags.String("acme-mail", "", "`address` at which the certificate authority may reach who runs the server"),
		acmeFolder: flags.String("acme-folder", "", "`folder` for the certificates that were fetched; acme in the yard's folder if not given"),
		acmeDirectory: flags.String("acme-directory", autocert.DefaultACMEDirectory,
			"`address` of the certificate authority's directory (RFC 8555)"),
	}
}

func (e *encryption) on() bool { return *e.cert != "" || *e.acme != "" }

// check refuses what would send keys and addresses through a network in plain.
func (e *encryption) check(address string) error {
	if (*e.cert == "") != (*e.key == "") {
		return fmt.Errorf("%w: -cert and -key go together", errUsage)
	}
	if *e.cert != "" && *e.acme != "" {
		return fmt.Errorf("%w: -acme and -cert exclude one another", errUsage)
	}
	if *e.acme != "" && *e.acmeFolder == "" {
		return fmt.Errorf("%w: -acme-folder says where the certificates that are fetched are kept", errUsage)
	}
	for _, name := range e.names() {
		if !strings.Contains(name, ".") || net.ParseIP(name) != nil || strings.ContainsAny(name, "/: *") {
			return fmt.Errorf("%w: -acme: %q is no name of a server such as yard.example.org", errUsage, name)
		}
	}
	if e.on() || *e.insecure {
		return nil
	}
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return nil // listening says what is wrong
	}
	if ip := net.ParseIP(host); host == "localhost" || ip != nil && ip.IsLoopback() {
		return nil
	}
	if host != "" && net.ParseIP(host) == nil {
		return nil // a name: listening finds out what it is, and listen looks
	}
	return notEncrypted(address)
}

// within gives the certificates that are fetched their place in the yard's folder.
func (e *encryption) within(folder string) {
	if *e.acmeFolder == "" && folder != "" {
		*e.acmeFolder = filepath.Join(folder, "acme")
	}
}

func (e *encryption) names() []string {
	return strings.FieldsFunc(*e.acme, func(r rune) bool { return r == ',' || r == ' ' })
}

// notEncrypted refuses an address that other machines reach.
func notEncrypted(address string) error {
	return fmt.Errorf("%w: %q can be reached from other machines: give -cert and -key, -acme, or -insecure-http",
		errUsage, address)
}

func (e *encryption) listen(address string, log *slog.Logger) (net.Listener, error) {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, err
	}
	if at, ok := l.Addr().(*net.TCPAddr); ok && !at.IP.IsLoopback() && !e.on() && !*e.insecure {
		_ = l.Close()
		return nil, notEncrypted(address)
	}
	c := &tls.Config{MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}}
	switch {
	case *e.acme != "":
		c.GetCertificate = e.manager().GetCertificate
		c.NextProtos = append(c.NextProtos, acme.ALPNProto)
	case *e.cert != "":
		if e.files, err = certificate.Open(*e.cert, *e.key, time.Now, log); err != nil {
			return nil, errors.Join(err, l.Close())
		}
		c.GetCertificate = e.files.Get
	default:
		return l, nil
	}
	return tls.NewListener(l, c), nil
}

// manager fetches certificates for the names that were given and for no other: whoever
// asks for another would have the authority count it against the server.
func (e *encryption) manager() *autocert.Manager {
	return &autocert.Manager{
		Prompt: autocert.AcceptTOS, HostPolicy: autocert.HostWhitelist(e.names()...), Email: *e.acmeMail,
		Cache:  autocert.DirCache(*e.acmeFolder),
		Client: &acme.Client{DirectoryURL: *e.acmeDirectory, HTTPClient: e.client},
	}
}

// reload reads the certificate again at once.
func (e *encryption) reload() error {
	if e.files == nil {
		return nil
	}
	return e.files.Reload()
}

func (e *encryption) scheme(url string) string {
	if !e.on() {
		return url
	}
	return "https" + strings.TrimPrefix(url, "http")
}

// look says what would be served with, or what is wrong with it.
func (e *encryption) look(ctx context.Context, address string) (string, error) {
	if err := e.check(address); err != nil {
		return "", err
	}
	switch {
	case *e.acme != "":
		return "Certificates are fetched for " + strings.Join(e.names(), ", ") + " and kept in " + *e.acmeFolder + ".", ctx.Err()
	case *e.cert != "":
		f, err := certificate.Open(*e.cert, *e.key, time.Now, slog.New(slog.DiscardHandler))
		if err != nil {
			return "", err
		}
		names, until := f.About()
		if time.Now().After(until) {
			return "", fmt.Errorf("%s: the certificate ended %s", *e.cert, until.Format(time.DateOnly))
		}
		return fmt.Sprintf("The certificate is of %s and ends %s.", strings.Join(names, ", "), until.Format(time.DateOnly)), nil
	}
	return "Nothing is encrypted.", nil
}
