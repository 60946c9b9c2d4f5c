package main

import (
	"crypto/tls"
	"flag"
	"fmt"
	"net"
	"strings"
)

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
	return notEncrypted(address)
}

// notEncrypted refuses an address that other machines reach.
func notEncrypted(address string) error {
	return fmt.Errorf("%w: %q can be reached from other machines: give -cert and -key, or -insecure-http",
		errUsage, address)
}

func (e encryption) listen(address string) (net.Listener, error) {
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, err
	}
	if at, ok := l.Addr().(*net.TCPAddr); ok && !at.IP.IsLoopback() && *e.cert == "" && !*e.insecure {
		_ = l.Close()
		return nil, notEncrypted(address)
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
