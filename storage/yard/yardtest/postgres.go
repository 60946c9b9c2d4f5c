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
	"syscall"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
)

// Postgres starts a server of its own from Debian's package postgresql, which
// ends with the test, and returns a function that makes an empty database and
// gives its address. Without the package the test is skipped; under CI=1 it
// fails.
func Postgres(t testing.TB) func() string {
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
	if said, err := run("initdb", "-D", data, "-U", "postgres", "-A", "trust", "-E", "UTF8", "--no-sync").
		CombinedOutput(); err != nil {
		t.Fatalf("initdb: %v\n%s", err, said)
	}
	log, err := os.Create(filepath.Join(folder, "log"))
	if err != nil {
		t.Fatal(err)
	}
	server := run("postgres", "-D", data, "-k", folder, "-c", "listen_addresses=", "-c", "fsync=off", "-c",
		"max_connections=100")
	server.Stdout, server.Stderr = log, log
	if err := server.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = server.Process.Signal(syscall.SIGINT)
		_ = server.Wait()
		_ = log.Close()
	})
	address := func(database string) string {
		return "postgres://postgres@/" + database + "?host=" + folder
	}
	admin, err := sql.Open("pgx", address("postgres"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = admin.Close() })
	if err := reachable(admin); err != nil {
		said, _ := os.ReadFile(log.Name())
		t.Fatalf("%v\n%s", err, said)
	}
	n := 0
	return func() string {
		n++
		name := fmt.Sprintf("yard%d", n)
		if _, err := admin.Exec("CREATE DATABASE " + name); err != nil {
			t.Fatal(err)
		}
		return address(name)
	}
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
