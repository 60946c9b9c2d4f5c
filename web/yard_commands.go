package main

import (
	"context"
	"crypto/tls"
	"flag"
	"fmt"
	"io"
	"net"
	"os"
	"strings"
	"time"

	"rsc.io/qr"

	"pegpour/storage/yard"
)

// yardPlace is where the yard's data is, as given on the command line.
type yardPlace struct{ folder, database *string }

func yardFlags(flags *flag.FlagSet) yardPlace {
	return yardPlace{
		flags.String("data", "", "`folder` of the yard's data, made if it is not there"),
		flags.String("database", "", "keep the yard's data in this PostgreSQL instead: `postgres://…`; "+databaseVariable+" in the environment keeps a password out of the list of processes"),
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

// encryption is how the server is reached.
type encryption struct {
	cert, key *string
	insecure  *bool
}

func tlsFlags(flags *flag.FlagSet) encryption {
	return encryption{
		flags.String("cert", "", "certificate `file` (PEM), for https"),
		flags.String("key", "", "`file` with the certificate's key (PEM)"),
		flags.Bool("insecure-http", false, "serve plain http to other machines, as behind a proxy that encrypts"),
	}
}

// check refuses what would send keys and addresses through a network in plain.
func (e encryption) check(address string) error {
	if (*e.cert == "") != (*e.key == "") {
		return fmt.Errorf("%w: -cert and -key go together", errUsage)
	}
	if *e.cert != "" || *e.insecure {
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
	return fmt.Errorf("%w: %q can be reached from other machines: give -cert and -key, or -insecure-http", errUsage, address)
}

func (e encryption) listen(address string) (net.Listener, error) {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, err
	}
	if at, ok := l.Addr().(*net.TCPAddr); ok && !at.IP.IsLoopback() && *e.cert == "" && !*e.insecure {
		_ = l.Close()
		return nil, fmt.Errorf("%w: %q can be reached from other machines: give -cert and -key, or -insecure-http", errUsage, address)
	}
	if *e.cert == "" {
		return l, nil
	}
	pair, err := tls.LoadX509KeyPair(*e.cert, *e.key)
	if err != nil {
		_ = l.Close()
		return nil, err
	}
	return tls.NewListener(l, &tls.Config{
		Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"},
	}), nil
}

func (e encryption) scheme(url string) string {
	if *e.cert == "" {
		return url
	}
	return "https" + strings.TrimPrefix(url, "http")
}

// pairCommand prints a code to type or to scan.
func pairCommand(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("pair", flag.ContinueOnError)
	place := yardFlags(flags)
	role := flags.String("role", string(yard.Crew), "`crew` or office: what the device may do")
	url := flags.String("url", "", "`address` of the yard, to put into the picture; without it the picture holds the code alone")
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	if r := yard.Role(*role); r != yard.Crew && r != yard.Office {
		return fmt.Errorf("%w: -role is %q, allowed crew and office", errUsage, *role)
	}
	if *url != "" {
		if err := checkAddress(*url); err != nil {
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
		text = pairingLink(*url, yard.Role(*role), code)
	}
	picture, err := terminalQR(text)
	if err != nil {
		return err
	}
	if *url != "" {
		fmt.Fprintln(out, text)
	}
	fmt.Fprintf(out, "%s\n%s\n\nFor one %s device, once, until %s.\n", picture, code, *role, expires.Local().Format(time.TimeOnly))
	return nil
}

// terminalQR draws a QR code with half blocks, light on dark, with the quiet
// zone of four modules that readers want.
func terminalQR(text string) (string, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return "", err
	}
	const quiet = 4
	var b strings.Builder
	for y := -quiet; y < code.Size+quiet; y += 2 {
		for x := -quiet; x < code.Size+quiet; x++ {
			upper, lower := !code.Black(x, y), !code.Black(x, y+1)
			switch {
			case upper && lower:
				b.WriteString("█")
			case upper:
				b.WriteString("▀")
			case lower:
				b.WriteString("▄")
			default:
				b.WriteByte(' ')
			}
		}
		b.WriteByte('\n')
	}
	return b.String(), nil
}

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
	if *bare {
		err = y.BackUpWithoutKeys(ctx, *to)
	} else {
		err = y.BackUp(ctx, *to)
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "The yard is in %s.\n", *to)
	return y.Note(ctx, yard.Entry{Address: "command line", Action: "backed up", Subject: ""})
}

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
