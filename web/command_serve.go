package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"time"

	"pegpour/web/bundle"
)

// How long the server waits. A phone at the end of a weak signal takes minutes
// to fetch the app or to send a photo, but says at once what it wants.
const (
	headerTimeout   = 10 * time.Second
	readTimeout     = 5 * time.Minute
	writeTimeout    = 10 * time.Minute
	idleTimeout     = 2 * time.Minute
	shutdownTimeout = 10 * time.Second
	maxHeaderBytes  = 32 << 10
)

// serve answers until the context ends, then lets running requests finish.
func serve(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags := flag.NewFlagSet("serve", flag.ContinueOnError)
	address := flags.String("addr", "localhost:8080", "`address` to listen on; :8080 for every network of this machine")
	folder := flags.String("bundle", "", "serve the browser app from this `folder` instead of the one in this binary")
	yardAt := yardFlags(flags)
	encryption := tlsFlags(flags)
	if err := parseFlags(flags, arguments, fault); err != nil {
		return err
	}
	if err := encryption.check(*address); err != nil {
		return err
	}

	files := embeddedBundle()
	if *folder != "" {
		files = os.DirFS(*folder)
	}
	app, err := bundle.Open(files)
	if err != nil {
		return err
	}
	answers := handler(app)
	if yardAt.given() {
		y, err := yardAt.open(ctx)
		if err != nil {
			return err
		}
		defer y.Close()
		answers = handlerWithYard(app, newYardAPI(y, time.Now, fault))
	}
	listener, err := encryption.listen(*address)
	if err != nil {
		return err
	}
	server := newServer(answers)
	fmt.Fprintf(out, "Pegpour %s is at %s\n", app.Contents.Version, encryption.scheme(addressToOpen(*address, listener.Addr())))

	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	// The context has ended, so the time to finish counts from a fresh one.
	closing, cancel := context.WithTimeout(context.Background(), shutdownTimeout)
	defer cancel()
	if err := server.Shutdown(closing); err != nil {
		return errors.Join(err, server.Close())
	}
	return nil
}

func newServer(h http.Handler) *http.Server {
	return &http.Server{
		Handler:           h,
		ReadHeaderTimeout: headerTimeout,
		ReadTimeout:       readTimeout,
		WriteTimeout:      writeTimeout,
		IdleTimeout:       idleTimeout,
		MaxHeaderBytes:    maxHeaderBytes,
	}
}

// handler answers every address of the site. The app answers all but what
// stands below /api/, which is for the yard.
func handler(app http.Handler) http.Handler {
	addresses := http.NewServeMux()
	addresses.HandleFunc("/api/", func(w http.ResponseWriter, _ *http.Request) {
		http.Error(w, "Nothing is kept at this address.", http.StatusNotFound)
	})
	addresses.Handle("/", app)
	return secure(addresses)
}

// handlerWithYard is handler with the yard below /api/.
func handlerWithYard(app, api http.Handler) http.Handler {
	addresses := http.NewServeMux()
	addresses.Handle("/api/", api)
	addresses.Handle("/", app)
	return secure(addresses)
}

// addressToOpen is what to type into a browser: the host as asked for, since
// service workers are allowed on "localhost", and the port that was given.
func addressToOpen(asked string, given net.Addr) string {
	host, port, err := net.SplitHostPort(given.String())
	if err != nil {
		return "http://" + given.String()
	}
	if askedHost, _, err := net.SplitHostPort(asked); err == nil && askedHost != "" {
		host = askedHost
	} else {
		host = "localhost"
	}
	return "http://" + net.JoinHostPort(host, port)
}
