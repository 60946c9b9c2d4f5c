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

	"pegpour/web/api"
	"pegpour/web/bundle"
	"pegpour/web/secure"
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
	var yardAPI http.Handler = http.HandlerFunc(noYard)
	if yardAt.given() {
		y, err := yardAt.open(ctx)
		if err != nil {
			return err
		}
		defer y.Close()
		yardAPI = api.New(y, time.Now, fault)
		sweeping := make(chan struct{})
		sweep, stop := context.WithCancel(ctx)
		go func() {
			defer close(sweeping)
			keepSwept(sweep, y, fault)
		}()
		defer func() { stop(); <-sweeping }()
	}
	listener, err := encryption.listen(*address)
	if err != nil {
		return err
	}
	server := newServer(addresses(app, yardAPI))
	url := encryption.scheme(addressToOpen(*address, listener.Addr()))
	fmt.Fprintf(out, "Pegpour %s is at %s\n", app.Contents.Version, url)

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

// addresses answers every address of the site: what stands below /api/ is for
// the yard, all else for the app.
func addresses(app, api http.Handler) http.Handler {
	all := http.NewServeMux()
	all.Handle("/api/", api)
	all.Handle("/", app)
	return secure.Headers(all)
}

// noYard answers for the yard where there is none.
func noYard(w http.ResponseWriter, _ *http.Request) {
	http.Error(w, "Nothing is kept at this address.", http.StatusNotFound)
}

// addressToOpen is what to type into a browser: the host as asked for, since
// service workers are allowed on "localhost", and the port that was given.
func addressToOpen(asked string, given net.Addr) string {
	_, port, err := net.SplitHostPort(given.String())
	if err != nil {
		return "http://" + given.String()
	}
	host := "localhost"
	if askedHost, _, err := net.SplitHostPort(asked); err == nil && askedHost != "" {
		host = askedHost
	}
	return "http://" + net.JoinHostPort(host, port)
}
