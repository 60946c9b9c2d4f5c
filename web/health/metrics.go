package health

import (
	"context"
	"crypto/sha256"
	"crypto/subtle"
	"log/slog"
	"net"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"

	"pegpour/web/request"
)

// Figures are counted beside the requests.
type Figures struct {
	registry  *prometheus.Registry
	requests  *prometheus.CounterVec
	latency   *prometheus.HistogramVec
	running   prometheus.Gauge
	database  *prometheus.HistogramVec
	failures  *prometheus.CounterVec
	arrival   prometheus.Histogram
	backUps   *prometheus.CounterVec
	backUpFor prometheus.Gauge
}

// seconds are the steps of what takes from a key's time to a weak signal's.
var seconds = []float64{.001, .0025, .005, .01, .025, .05, .1, .25, .5, 1, 2.5, 5, 10, 30, 60, 300}

// lags are the steps of how long what was entered is on its way: a phone without signal
// brings it days later.
var lags = []float64{1, 5, 15, 60, 300, 900, 3600, 4 * 3600, 24 * 3600, 3 * 24 * 3600, 7 * 24 * 3600, 30 * 24 * 3600}

// NewFigures returns figures of a server of the version.
func NewFigures(version, layout string) *Figures {
	f := &Figures{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "pegpour_requests_total",
			Help: "Requests that were answered, by route and status."}, []string{"route", "status"}),
		latency: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "pegpour_request_seconds",
			Help: "How long requests took until they were answered.", Buckets: seconds}, []string{"route"}),
		running: prometheus.NewGauge(prometheus.GaugeOpts{Name: "pegpour_requests_running",
			Help: "Requests that are being answered."}),
		database: prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "pegpour_database_seconds",
			Help: "How long transactions of the database took.", Buckets: seconds}, []string{"kind"}),
		failures: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "pegpour_database_down_total",
			Help: "Transactions that failed because the database could not be used."}, []string{"kind"}),
		arrival: prometheus.NewHistogram(prometheus.HistogramOpts{Name: "pegpour_sync_lag_seconds",
			Help: "From when a version was entered, by the phone's clock, to when it came to the yard.", Buckets: lags}),
		backUps: prometheus.NewCounterVec(prometheus.CounterOpts{Name: "pegpour_backups_total",
			Help: "Back-ups on schedule that this server made, by outcome."}, []string{"outcome"}),
		backUpFor: prometheus.NewGauge(prometheus.GaugeOpts{Name: "pegpour_backup_seconds",
			Help: "How long the last back-up took, with looking through it."}),
	}
	about := prometheus.NewGaugeVec(prometheus.GaugeOpts{Name: "pegpour_info", Help: "What this server is."},
		[]string{"version", "layout"})
	about.WithLabelValues(version, layout).Set(1)
	f.registry.MustRegister(f.requests, f.latency, f.running, f.database, f.failures, f.arrival, f.backUps, f.backUpFor, about,
		collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	return f
}

// Request counts one that was answered. Addresses that are none count as one route, so
// that strangers cannot fill the list of routes.
func (f *Figures) Request(d request.Done) {
	route := d.Route
	if route == "" {
		route = "none"
	}
	f.requests.WithLabelValues(route, strconv.Itoa(d.Status)).Inc()
	f.latency.WithLabelValues(route).Observe(d.Took.Seconds())
}

// Running counts the requests that next is answering.
func (f *Figures) Running(next http.Handler) http.Handler {
	return promhttp.InstrumentHandlerInFlight(f.running, next)
}

// Database counts a transaction.
func (f *Figures) Database(kind string, took time.Duration, down bool) {
	f.database.WithLabelValues(kind).Observe(took.Seconds())
	if down {
		f.failures.WithLabelValues(kind).Inc()
	}
}

// Arrived counts a version that came to the yard so long after it was entered. A phone
// whose clock is ahead counts as on time.
func (f *Figures) Arrived(after time.Duration) { f.arrival.Observe(max(0, after.Seconds())) }

// BackUp counts a back-up on schedule.
func (f *Figures) BackUp(took time.Duration, err error) {
	if err != nil {
		f.backUps.WithLabelValues("failed").Inc()
		return
	}
	f.backUps.WithLabelValues("made").Inc()
	f.backUpFor.Set(took.Seconds())
}

// Figure is one that is asked for when somebody looks.
type Figure struct {
	Name, Help string
	Value      float64
}

// restAfter is how long figures that cost the database something are kept: who looks
// more often gets the same.
const restAfter = 10 * time.Second

// Asked adds figures that ask finds when somebody looks. What fails is left out: a
// figure that is missing is seen, one that stays as it was is not.
func (f *Figures) Asked(ask func(ctx context.Context) ([]Figure, error), log *slog.Logger) {
	f.registry.MustRegister(&asked{ask: ask, log: log})
}

type asked struct {
	ask func(ctx context.Context) ([]Figure, error)
	log *slog.Logger

	mu   sync.Mutex
	at   time.Time
	last []Figure
}

// Describe says nothing: the figures are checked when they are collected.
func (a *asked) Describe(chan<- *prometheus.Desc) {}

// Collect asks.
func (a *asked) Collect(to chan<- prometheus.Metric) {
	a.mu.Lock()
	defer a.mu.Unlock()
	if a.at.IsZero() || time.Since(a.at) > restAfter {
		ctx, cancel := context.WithTimeout(context.Background(), probeTime)
		defer cancel()
		var err error
		if a.last, err = a.ask(ctx); err != nil {
			a.log.Warn("figures could not be read", "error", err)
			return
		}
		a.at = time.Now()
	}
	for _, one := range a.last {
		m, err := prometheus.NewConstMetric(prometheus.NewDesc(one.Name, one.Help, nil, nil), prometheus.GaugeValue, one.Value)
		if err == nil {
			to <- m
		}
	}
}

// Metrics answers with the figures as Prometheus reads them, to this machine itself and
// to who has the token. To others the address is none. A request that a proxy of this
// machine passes on is not this machine's own.
func (f *Figures) Metrics(token string) http.Handler {
	figures := promhttp.HandlerFor(f.registry, promhttp.HandlerOpts{ErrorHandling: promhttp.ContinueOnError})
	wanted := sha256.Sum256([]byte(token))
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		given, _ := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
		sum := sha256.Sum256([]byte(given))
		if !own(r) && (token == "" || subtle.ConstantTimeCompare(sum[:], wanted[:]) == 0) {
			http.Error(w, "Nothing is kept at this address.", http.StatusNotFound)
			return
		}
		w.Header().Set("Cache-Control", "no-store")
		figures.ServeHTTP(w, r)
	})
}

func own(r *http.Request) bool {
	for _, passedOn := range []string{"Forwarded", "X-Forwarded-For", "X-Real-Ip", "Via"} {
		if r.Header.Get(passedOn) != "" {
			return false
		}
	}
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	ip := net.ParseIP(host)
	return err == nil && ip != nil && ip.IsLoopback()
}
