// Package yardtest starts a PostgreSQL server for tests.
package yardtest

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
)

// Postgres starts a server of its own from Debian's package postgresql, which
// ends with the test, and returns a function that makes an empty database and
// gives its address. Without the package the test is skipped; under CI=1 it
// fails. Nothing is synced to the disk; settings such as "fsync=on" change that.
func Postgres(t testing.TB, settings ...string) func() string {
	t.Helper()
	s := NewServer(t, settings...)
	return func() string { return s.Database(t) }
}

// Server is a PostgreSQL server that a test may stop and start.
type Server struct {
	folder string
	begin  func() (*exec.Cmd, error)
	now    *exec.Cmd // nil: stopped
	admin  *sql.DB
	n      int
}

// NewServer starts a server; see Postgres.
func NewServer(t testing.TB, settings ...string) *Server {
	t.Helper()
	return newServer(t, nil, settings)
}

// NewStandby starts a server that follows this one in step: what this one acknowledged from
// now on, it has too.
func (s *Server) NewStandby(t testing.TB) *Server {
	t.Helper()
	standby := newServer(t, s, nil)
	for _, statement := range []string{"ALTER SYSTEM SET synchronous_standby_names = '*'", "SELECT pg_reload_conf()"} {
		if _, err := s.admin.Exec(statement); err != nil {
			t.Fatal(err)
		}
	}
	for range 300 {
		var n int
		err := s.admin.QueryRow("SELECT COUNT(*) FROM pg_stat_replication WHERE sync_state = 'sync'").Scan(&n)
		if err == nil && n == 1 {
			return standby
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Fatal("the standby does not follow")
	return nil
}

// Promote makes a standby a server of its own.
func (s *Server) Promote() error {
	_, err := s.admin.Exec("SELECT pg_promote(true, 60)")
	return err
}

// Either is an address at which of these servers the one is found that takes what is
// written; database is the address of it at one of them.
func Either(database string, servers ...*Server) string {
	begin, _, _ := strings.Cut(database, "host=")
	folders := make([]string, len(servers))
	for i, s := range servers {
		folders[i] = s.folder
	}
	return begin + "host=" + strings.Join(folders, ",") + "&target_session_attrs=read-write"
}

func newServer(t testing.TB, of *Server, settings []string) *Server {
	t.Helper()
	bin, err := programs()
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	folder, err := os.MkdirTemp("", "pegpour-pg-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(folder) })
	attributes, err := asPostgres(folder)
	if err != nil {
		t.Fatal(err)
	}
	data := filepath.Join(folder, "data")
	run := func(name string, arguments ...string) *exec.Cmd {
		c := exec.Command(filepath.Join(bin, name), arguments...)
		c.Dir, c.SysProcAttr = folder, attributes
		c.Env = []string{"PATH=" + bin + ":/usr/bin:/bin", "LC_ALL=C", "TZ=UTC", "HOME=" + folder}
		return c
	}
	begin := run("initdb", "-D", data, "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-sync")
	if of != nil {
		begin = run("pg_basebackup", "-D", data, "-U", "postgres", "-h", of.folder, "-R", "-c", "fast", "--no-sync")
	}
	if said, err := begin.CombinedOutput(); err != nil {
		t.Fatalf("%s: %v\n%s", filepath.Base(begin.Path), err, said)
	}
	log, err := os.Create(filepath.Join(folder, "log"))
	if err != nil {
		t.Fatal(err)
	}
	s := &Server{folder: folder, begin: func() (*exec.Cmd, error) {
		arguments := []string{"-D", data, "-k", folder, "-c", "listen_addresses=", "-c", "fsync=off", "-c", "max_connections=100"}
		for _, s := range settings {
			arguments = append(arguments, "-c", s)
		}
		server := run("postgres", arguments...)
		server.Stdout, server.Stderr = log, log
		return server, server.Start()
	}}
	t.Cleanup(func() {
		s.Stop()
		_ = log.Close()
	})
	if s.admin, err = sql.Open("pgx", s.address("postgres")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.admin.Close() })
	if err := s.Start(); err != nil {
		said, _ := os.ReadFile(log.Name())
		t.Fatalf("%v\n%s", err, said)
	}
	return s
}

func (s *Server) address(database string) string {
	return "postgres://postgres@/" + database + "?host=" + s.folder
}

// Database makes an empty database and gives its address.
func (s *Server) Database(t testing.TB) string {
	t.Helper()
	s.n++
	name := fmt.Sprintf("yard%d", s.n)
	if _, err := s.admin.Exec("CREATE DATABASE " + name); err != nil {
		t.Fatal(err)
	}
	return s.address(name)
}

// Start starts the server if it is stopped, and waits until it answers.
func (s *Server) Start() error {
	if s.now == nil {
		c, err := s.begin()
		if err != nil {
			return err
		}
		s.now = c
	}
	return reachable(s.admin)
}

// Stop stops it, connections and all.
func (s *Server) Stop() { s.end(syscall.SIGINT) }

// Crash stops it as a power cut would: it finds out at its start what it had done.
func (s *Server) Crash() { s.end(syscall.SIGQUIT) }

func (s *Server) end(how syscall.Signal) {
	if s.now == nil {
		return
	}
	_ = s.now.Process.Signal(how)
	_ = s.now.Wait()
	s.now = nil
}

// programs finds the newest PostgreSQL.
func programs() (string, error) {
	found, _ := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if len(found) > 0 {
		return filepath.Dir(found[len(found)-1]), nil
	}
	if name, err := exec.LookPath("initdb"); err == nil {
		return filepath.Dir(name), nil
	}
	return "", errors.New("no PostgreSQL here: apt-get install postgresql")
}

// asPostgres gives the folder to the user postgres when the tests run as root,
// as whom PostgreSQL refuses to start.
func asPostgres(folder string) (*syscall.SysProcAttr, error) {
	a := &syscall.SysProcAttr{Pdeathsig: syscall.SIGINT}
	if os.Getuid() != 0 {
		return a, nil
	}
	u, err := user.Lookup("postgres")
	if err != nil {
		return nil, err
	}
	uid, err := strconv.ParseUint(u.Uid, 10, 32)
	if err != nil {
		return nil, err
	}
	gid, err := strconv.ParseUint(u.Gid, 10, 32)
	if err != nil {
		return nil, err
	}
	a.Credential = &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
	return a, os.Chown(folder, int(uid), int(gid))
}

func reachable(db *sql.DB) error {
	var err error
	for range 300 {
		ctx, cancel := context.WithTimeout(context.Background(), 2*time.Second)
		err = db.PingContext(ctx)
		cancel()
		if err == nil {
			return nil
		}
		time.Sleep(100 * time.Millisecond)
	}
	return err
}
