package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"pegpour/storage/yard"
	"pegpour/web/api"
	"pegpour/web/backups"
	"pegpour/web/bundle"
	"pegpour/web/earlier"
	"pegpour/web/forwarded"
	"pegpour/web/health"
	"pegpour/web/request"
	"pegpour/web/secure"
	"pegpour/web/settings"
)

// How long the server waits. A phone at the end of a weak signal takes minutes
// to fetch the app or to send a photo, but says at once what it wants.
const (
	headerTimeout  = 10 * time.Second
	readTimeout    = 5 * time.Minute
	writeTimeout   = 10 * time.Minute
	idleTimeout    = 2 * time.Minute
	maxHeaderBytes = 32 << 10
)

// serveOptions is what the server is told.
type serveOptions struct {
	address, bundle *string
	programs        *string
	check           *bool
	yard            yardPlace
	encryption      *encryption
	drain           *time.Duration
	leastRoom       *int64 // MB
	metricsToken    *string
	backUps         backUpOptions
	proxies         *string
	signIn          signInSettings
	log             logOptions
}

// serveOnce are flags of the command that are no settings.
var serveOnce = []string{"check"}

// serveFlags is the table of the settings: a flag here may stand in the file and in the
// environment too, and stands in the help and the documentation.
func serveFlags() (*flag.FlagSet, *serveOptions) {
	flags := flag.NewFlagSet("serve", flag.ContinueOnError)
	o := &serveOptions{
		check:   flags.Bool("check", false, "say what would be used and what is wrong with it, and change nothing"),
		address: flags.String("addr", "localhost:8080", "`address` to listen on; :8080 for every network of this machine"),
		bundle:  flags.String("bundle", "", "serve the browser app from this `folder` instead of the one in this binary"),
		programs: flags.String("programs", "", "keep the programs of versions before this one in this `folder`, so that a "+
			"phone is sent what changed; without it in the folder of the yard's data"),
		yard:       yardFlags(flags),
		encryption: tlsFlags(flags),
		drain: flags.Duration("drain-time", 20*time.Second,
			"how `long` requests that run may take to end when the server is told to stop"),
		leastRoom:    flags.Int64("least-room", 200, "with less room on the disk than this many `MB` the server is not ready and takes no photos, and with a quarter of it nothing"),
		metricsToken: flags.String("metrics-token", "", "`secret` with which other machines may read /metrics; this one may without"),
		backUps:      backUpFlags(flags),
		proxies: flags.String("proxies", "", "`networks` of the proxies in front, such as 10.0.0.0/8,::1: only they are "+
			"believed about who asks (Forwarded, X-Forwarded-For, X-Forwarded-Proto)"),
		signIn: signInFlags(flags),
		log:    logFlags(flags),
	}
	return flags, o
}

// serve answers until the context ends, then lets running requests finish.
func serve(ctx context.Context, arguments []string, _ io.Reader, out, fault io.Writer) error {
	flags, o := serveFlags()
	if err := parseWords(flags, arguments, fault); err != nil {
		return err
	}
	given, err := configure(flags)
	o.encryption.within(*o.yard.folder)
	if *o.check {
		return o.look(ctx, flags, given, err, out)
	}
	if err != nil {
		return err
	}
	if err := o.encryption.check(*o.address); err != nil {
		return err
	}
	proxies, err := o.trusted()
	if err != nil {
		return err
	}
	signIn, err := o.signIn.read()
	if err != nil {
		return err
	}
	if o.yard.given() {
		if err := o.yard.check(); err != nil {
			return err
		}
	}
	if err := o.backUps.check(o.yard); err != nil {
		return err
	}
	app, err := o.app()
	if err != nil {
		return err
	}
	log := o.log.open(fault)
	for _, name := range settingsReader().Strangers(os.Environ()) {
		log.Warn("this variable of the environment is no setting", "name", name)
	}

	running, stop := context.WithCancel(ctx)
	defer stop()
	ended := make(chan error, 2)
	figures := health.NewFigures(app.Contents.Version, fmt.Sprint(yard.Layout()))
	var yardAPI http.Handler = http.HandlerFunc(noYard)
	probes := func() []health.Probe { return nil }
	if o.yard.given() {
		schedule := o.backUps.schedule(log, figures.BackUp)
		if schedule == nil {
			log.Warn("the server makes no back-ups by itself: backup-folder is not set")
		}
		door := o.door(log, figures, schedule, signIn)
		defer func() {
			stop()
			if err := door.close(); err != nil {
				log.Error("the database could not be closed", "error", err)
			}
		}()
		if err := door.start(running, func(err error) { ended <- err }); err != nil {
			return err
		}
		figures.Asked(door.figures, log)
		figures.Asked(func(context.Context) ([]health.Figure, error) { return backUpFigures(schedule) }, log)
		yardAPI, probes = door, func() []health.Probe { return door.probes(*o.leastRoom << 20) }
	}
	o.keepPrograms(running, app, log)
	listener, err := o.encryption.listen(*o.address, log)
	if err != nil {
		return err
	}
	var draining atomic.Bool
	state := http.NewServeMux()
	state.HandleFunc("GET /healthz", health.Alive)
	state.HandleFunc("GET /readyz", health.Readiness(func() []health.Probe {
		if draining.Load() {
			return []health.Probe{{Name: "server", Ask: func(context.Context) (string, error) {
				return "", errors.New("it is being stopped")
			}}}
		}
		return probes()
	}))
	state.Handle("GET /metrics", figures.Metrics(*o.metricsToken))
	server := newServer(proxies.Handler(
		request.Identify(figures.Running(addresses(app, yardAPI, state)), log, figures.Request)))
	server.ErrorLog = slog.NewLogLogger(log.Handler(), slog.LevelDebug) // handshakes that strangers break off
	url := o.encryption.scheme(addressToOpen(*o.address, listener.Addr()))
	fmt.Fprintf(out, "Pegpour %s is at %s\n", app.Contents.Version, url)

	again := make(chan os.Signal, 1)
	signal.Notify(again, syscall.SIGHUP)
	defer signal.Stop(again)
	go func() { ended <- server.Serve(listener) }()
	for {
		select {
		case err := <-ended:
			return errors.Join(err, server.Close())
		case <-again:
			o.readAgain(arguments, log)
			continue
		case <-ctx.Done():
		}
		break
	}
	draining.Store(true)
	log.Info("the server is being stopped", "running requests may take", *o.drain)
	// The context has ended, so the time to finish counts from a fresh one.
	closing, cancel := context.WithTimeout(context.Background(), *o.drain)
	defer cancel()
	if err := server.Shutdown(closing); err != nil {
		return errors.Join(fmt.Errorf("requests still ran after %s and were cut off: %w", *o.drain, err), server.Close())
	}
	return nil
}

// door is the yard as the server keeps it.
func (o *serveOptions) door(log *slog.Logger, figures *health.Figures, schedule *backups.Schedule,
	signIn *api.SignIn) *yardDoor {
	work := []func(context.Context, *yard.Yard){
		func(ctx context.Context, y *yard.Yard) { yard.ClearWork(); keepSwept(ctx, y, log) },
		func(ctx context.Context, y *yard.Yard) { keepTelling(ctx, y, log) },
		func(ctx context.Context, y *yard.Yard) { keepMoving(ctx, y, log) },
		func(ctx context.Context, y *yard.Yard) { keepTold(ctx, y, log) },
	}
	if schedule != nil {
		work = append(work, schedule.Run)
	}
	return &yardDoor{
		log: log,
		open: func(ctx context.Context) (*yard.Yard, error) {
			return o.yard.openWith(ctx, yard.Options{
				Alone:     true,
				LeastRoom: *o.leastRoom << 20,
				Observe:   func(kind string, took time.Duration, err error) { figures.Database(kind, took, yard.IsDown(err)) },
				Arrived:   func(entered time.Time) { figures.Arrived(time.Since(entered)) },
			})
		},
		make: func(y *yard.Yard) http.Handler {
			a := api.New(y, time.Now, log)
			a.AllowSignIn(signIn)
			a.ShowBackUps(schedule)
			return a
		},
		work: work,
	}
}

// trusted are the proxies that are believed about who asks.
func (o *serveOptions) trusted() (forwarded.Proxies, error) {
	proxies, err := forwarded.Parse(*o.proxies)
	if err != nil {
		err = fmt.Errorf("%w: -proxies: %w", errUsage, err)
	}
	return proxies, err
}

// keepPrograms keeps the programs of the version beside those before it, and has the app
// send phones what changed. Where there is no room for them phones fetch the whole.
func (o *serveOptions) keepPrograms(running context.Context, app *bundle.Bundle, log *slog.Logger) {
	folder := *o.programs
	if folder == "" && *o.yard.folder != "" {
		folder = filepath.Join(*o.yard.folder, "programs")
	}
	if folder == "" {
		return
	}
	programs, err := earlier.Keep(folder, app, log)
	if err != nil {
		log.Warn("the programs of this version could not be kept: phones will fetch the next one whole", "folder", folder, "error", err)
		return
	}
	app.Changes = programs.Delta
	go programs.Run(running)
}

func (o *serveOptions) app() (*bundle.Bundle, error) {
	if *o.bundle != "" {
		return bundle.Open(os.DirFS(*o.bundle))
	}
	return bundle.Open(embeddedBundle())
}

// readAgain reads what may change while the server runs: certificates and how much is
// logged. What cannot be read leaves what was.
func (o *serveOptions) readAgain(arguments []string, log *slog.Logger) {
	_ = o.encryption.reload() // it says itself how that went
	flags, now := serveFlags()
	err := parseWords(flags, arguments, io.Discard)
	if err == nil {
		_, err = configure(flags)
	}
	if err != nil {
		log.Error("the settings could not be read again: those from before stay", "error", err)
		return
	}
	o.log.now.Set(*now.log.level)
	log.Info("read again: certificate and log-level", "log-level", now.log.level.String())
}

// look says what serve would use and what is wrong with it, and changes nothing.
func (o *serveOptions) look(ctx context.Context, flags *flag.FlagSet, given settings.Given, wrong error, out io.Writer) error {
	problems := []error{}
	add := func(words string, err error) {
		if err != nil {
			problems = append(problems, err)
		} else {
			fmt.Fprintln(out, words)
		}
	}
	fmt.Fprintln(out, "The server would use:")
	flags.VisitAll(func(f *flag.Flag) {
		if f.Name == "check" {
			return
		}
		from := given.From[f.Name]
		if from == "" {
			from = "by itself"
		}
		fmt.Fprintf(out, "  %-16s %-30s %s\n", f.Name, settings.Shown(f), from)
	})
	fmt.Fprintln(out)
	if wrong != nil {
		add("", wrong)
	}
	for _, name := range settingsReader().Strangers(os.Environ()) {
		add(name+" in the environment is no setting, and is not used.", nil)
	}
	app, err := o.app()
	if err == nil {
		add("The app is of version "+app.Contents.Version+".", nil)
	} else {
		add("", err)
	}
	add(o.encryption.look(ctx, *o.address))
	add(o.lookAtAddress())
	if _, err := o.trusted(); err != nil || *o.proxies != "" {
		add("Proxies at "+*o.proxies+" are believed about who asks.", err)
	}
	if with, err := o.signIn.read(); err != nil || with != nil {
		add("People sign in at "+*o.signIn.issuer+".", err)
	}
	if !o.yard.given() {
		add("No yard is kept: the server gives out the app only.", nil)
	} else {
		add(o.yard.look(ctx))
		add(o.backUps.look(o.yard))
	}
	if len(problems) == 0 {
		fmt.Fprintln(out, "Nothing is wrong. Nothing was changed.")
		return nil
	}
	fmt.Fprintln(out, "\nWrong:")
	for _, p := range problems {
		words := strings.TrimPrefix(p.Error(), errUsage.Error()+": ")
		fmt.Fprintln(out, "  "+strings.ReplaceAll(words, "\n", "\n  "))
	}
	fmt.Fprintln(out, "Nothing was changed.")
	return errors.New("the server would not start like this")
}

// lookAtAddress says whether the address can be listened on.
func (o *serveOptions) lookAtAddress() (string, error) {
	l, err := net.Listen("tcp", *o.address)
	if errors.Is(err, syscall.EADDRINUSE) {
		return "At " + *o.address + " another server listens already: this one, if it runs.", nil
	}
	if err != nil {
		return "", err
	}
	return *o.address + " is free to listen on.", l.Close()
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
// the yard, what says how the server is for state, all else for the app.
func addresses(app, api, state http.Handler) http.Handler {
	all := http.NewServeMux()
	all.Handle("/api/", api)
	for _, path := range []string{"/healthz", "/readyz", "/metrics"} {
		all.Handle(path, state)
	}
	all.Handle("/", app)
	return secure.Headers(all)
}

// noYard answers for the yard where there is none. That nobody signs in at one is no fault
// that a browser has to tell of.
func noYard(w http.ResponseWriter, r *http.Request) {
	if r.URL.Path == "/api/v1/sign-in" {
		w.Header().Set("Content-Type", "application/json")
		fmt.Fprintln(w, `{"name":""}`)
		return
	}
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
