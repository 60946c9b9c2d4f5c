package deploy

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard/yardtest"
)

// program builds the server once, linked statically, around the bundle that is built.
var program = sync.OnceValues(func() (string, error) {
	if given := os.Getenv("PEGPOUR_BINARY"); given != "" {
		return given, nil
	}
	folder, err := os.MkdirTemp("", "pegpour-deploy-")
	if err != nil {
		return "", err
	}
	file := filepath.Join(folder, "pegpour")
	c := exec.Command("go", "build", "-trimpath", "-buildvcs=false", "-o", file, "pegpour/web")
	c.Env = append(os.Environ(), "CGO_ENABLED=0")
	said, err := c.CombinedOutput()
	if err != nil {
		os.Stderr.Write(said)
	}
	return file, err
})

func TestMain(m *testing.M) {
	code := m.Run()
	if file, err := program(); err == nil && strings.Contains(file, "pegpour-deploy-") {
		_ = os.RemoveAll(filepath.Dir(file))
	}
	os.Exit(code)
}

func theProgram(t *testing.T) string {
	t.Helper()
	file, err := program()
	require.NoError(t, err)
	return file
}

// tinyBundle is the least bundle that can be served, for a program that was built
// without one.
func tinyBundle(t *testing.T) string {
	t.Helper()
	folder, err := os.MkdirTemp("", "pegpour-bundle-")
	require.NoError(t, err)
	t.Cleanup(func() { os.RemoveAll(folder) })
	require.NoError(t, os.Chmod(folder, 0o755))
	contents := `{"version":"tiny","page":"p.html","worker":"w.js","files":[
		{"name":"p.html","sha256":"0123456789abcdef","type":"text/html"},
		{"name":"w.js","sha256":"0123456789abcdef","type":"text/javascript"}]}`
	for name, text := range map[string]string{"contents.json": contents, "p.html": "the page", "w.js": "the worker"} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644))
	}
	return folder
}

func read(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(b)
}

// The unit is one that systemd takes, and leaves the service little to do harm with.
func TestUnitIsSound(t *testing.T) {
	tool, err := exec.LookPath("systemd-analyze")
	if err != nil {
		t.Skip("no systemd here: ", err)
	}
	unit := strings.ReplaceAll(read(t, "pegpour.service"), "/usr/local/bin/pegpour", theProgram(t))
	file := filepath.Join(t.TempDir(), "pegpour.service")
	require.NoError(t, os.WriteFile(file, []byte(unit), 0o644))
	said, err := exec.Command(tool, "verify", file).CombinedOutput()
	require.NoError(t, err, string(said))
	require.NotContains(t, string(said), "pegpour.service:", "it warns of nothing in the unit")
	said, err = exec.Command(tool, "security", "--offline=true", "--no-pager", "--threshold=20", file).CombinedOutput()
	require.NoError(t, err, "more than 2.0 of exposure:\n%s", said)
}

// The example of the settings is one, and names the folders of the unit.
func TestExampleOfSettings(t *testing.T) {
	settings := read(t, "pegpour.toml")
	for _, line := range regexp.MustCompile(`(?m)^# ([a-z-]+ = ".*")$`).FindAllStringSubmatch(settings, -1) {
		c := exec.Command(theProgram(t), "serve", "-check", "-config", settingsFile(t, line[1]))
		said, _ := c.CombinedOutput()
		require.NotContains(t, string(said), "there is no setting", line[1])
	}
	folder := t.TempDir()
	here := strings.NewReplacer("/var/lib/pegpour", folder+"/data", "/var/backups/pegpour", folder+"/copies",
		"localhost:8080", "localhost:0").Replace(settings)
	require.NotEqual(t, settings, here)
	c := exec.Command(theProgram(t), "serve", "-check", "-config", settingsFile(t, here), "-bundle", tinyBundle(t))
	c.Env = plainEnvironment()
	said, err := c.CombinedOutput()
	require.NoError(t, err, string(said))
	require.Contains(t, string(said), "Nothing is wrong.")
}

func settingsFile(t *testing.T, text string) string {
	t.Helper()
	name := filepath.Join(t.TempDir(), "pegpour.toml")
	require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	return name
}

// plainEnvironment is that of this test without what the server would take for settings.
func plainEnvironment() []string {
	return slices.DeleteFunc(os.Environ(), func(v string) bool { return strings.HasPrefix(v, "PEGPOUR_") })
}

// commandsOf are the commands of the operators' page, in their order.
func commandsOf(t *testing.T) string {
	t.Helper()
	var b strings.Builder
	for _, block := range regexp.MustCompile("(?s)```sh\n(.*?)```").FindAllStringSubmatch(read(t, "OPERATING.md"), -1) {
		b.WriteString(block[1])
	}
	return b.String()
}

// systemctl is as much of it as the page uses, for a machine where systemd does not run:
// it does what the unit says.
const systemctl = `#!/bin/sh
unit=/etc/systemd/system/pegpour.service
pid=/run/pegpour.pid
value() { sed -n "s/^$1=//p" $unit | head -n 1; }
start() { runuser -u "$(value User)" -- $(value ExecStart) </dev/null >>/run/pegpour.log 2>&1 & echo $! >$pid; }
stop() { kill -TERM "$(pgrep -P "$(cat $pid)")"; for n in $(seq 200); do kill -0 "$(cat $pid)" 2>/dev/null || return 0; sleep 0.1; done; exit 1; }
case "$1" in
daemon-reload) test -f $unit ;;
enable) test "$2 $3" = "--now pegpour" && start ;;
start) start ;;
stop) stop ;;
restart) stop; start ;;
reload) kill -HUP "$(pgrep -P "$(cat $pid)")" && kill -0 "$(cat $pid)" ;;
*) echo "systemctl $*: not known here" >&2; exit 1 ;;
esac
`

// TestOperatorsPageWordByWord follows the page for operators on a machine of its own:
// root's, with a network, an /etc, a /run, a /var/lib and a /usr/local/bin that nobody
// else sees.
func TestOperatorsPageWordByWord(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("only root has a machine to try it on")
	}
	for _, tool := range []string{"unshare", "runuser", "useradd", "curl", "ip", "pgrep", "install"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip(err)
		}
	}
	if said, err := exec.Command("unshare", "--mount", "--net", "true").CombinedOutput(); err != nil {
		t.Skipf("no namespaces here: %s", said)
	}
	pg := yardtest.NewServer(t)
	_, socket, _ := strings.Cut(pg.Database(t), "host=")
	require.NoError(t, os.Chmod(socket, 0o755))
	bins, _ := filepath.Glob("/usr/lib/postgresql/*/bin")
	require.NotEmpty(t, bins)

	folder, err := os.MkdirTemp("", "pegpour-operator-")
	require.NoError(t, err)
	defer os.RemoveAll(folder)
	require.NoError(t, os.Chmod(folder, 0o755))
	copyTo := func(from, to string, mode os.FileMode) {
		b, err := os.ReadFile(from)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(folder, to), b, mode))
	}
	copyTo(theProgram(t), "pegpour", 0o755)
	copyTo("pegpour.service", "pegpour.service", 0o644)
	copyTo("pegpour.toml", "pegpour.toml", 0o644)
	for name, text := range map[string]string{
		"systemctl": systemctl,
		"page":      commandsOf(t),
		"machine": `set -eu
ip link set lo up
mkdir -p "$1/etc"; cp -a /etc/. "$1/etc"; mount --bind "$1/etc" /etc
mkdir -p /etc/systemd/system
for at in /run /var/lib /var/backups /usr/local/bin; do mkdir -p $at; mount -t tmpfs -o mode=755 none $at; done
mkdir -p /run/postgresql; mount --bind "$2" /run/postgresql
install -m 0755 "$1/systemctl" /usr/local/bin/systemctl
cd "$1"
set +e
sh -eux page
code=$?
cat /run/pegpour.log
kill -TERM $(pgrep -P "$(cat /run/pegpour.pid)")
wait
ls -ln /var/lib/pegpour.before /var/backups/pegpour
exit $code
`,
	} {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), []byte(text), 0o755))
	}
	c := exec.Command("unshare", "--mount", "--net", "--propagation", "private", "sh", filepath.Join(folder, "machine"), folder, socket)
	c.Env = append(plainEnvironment(), "PATH=/usr/local/bin:"+bins[len(bins)-1]+":/usr/sbin:/usr/bin:/sbin:/bin",
		"PGHOST=/run/postgresql", "PEGPOUR_BUNDLE="+tinyBundle(t))
	var said bytes.Buffer
	c.Stdout, c.Stderr = &said, &said
	c.WaitDelay = 10 * time.Second
	err = c.Run()
	require.NoError(t, err, said.String())
	for _, want := range []string{"All of it is sound", "nothing to mend", "The yard is restored", `"ready": true`, "pegpour_ready 1",
		"hand-on.sqlite", "read again: certificate and log-level"} {
		require.Contains(t, said.String(), want)
	}
	require.Equal(t, 5, strings.Count(said.String(), "\n \"ready\": true,\n \"parts\""), said.String())
}
