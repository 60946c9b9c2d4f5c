// Package client holds the description of the API to its word: a client is made from it,
// by oapi-codegen, and used as another program would; and the examples of EXAMPLES.md are
// run as they stand.
package client

import (
	"bytes"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/oapi-codegen/oapi-codegen/v2/pkg/codegen"
	_ "github.com/oapi-codegen/runtime" // what is made imports it
	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/web/api"
	"pegpour/web/api/apitest"
)

// served is a yard with one site, its address and a key of the office.
func served(t *testing.T) (y *yard.Yard, address, office string) {
	t.Helper()
	y, err := yard.Open(t.Context(), t.TempDir(), yard.Options{NotDurable: true})
	require.NoError(t, err)
	t.Cleanup(func() { _ = y.Close() })
	text := apitest.SiteBytes(t, "s1", "Mill Lane")
	_, err = y.PutRevision(t.Context(), "d", "s1", storage.NameRevision(text), nil, text)
	require.NoError(t, err)
	code, _, err := y.NewCode(t.Context(), yard.Office)
	require.NoError(t, err)
	_, office, err = y.Pair(t.Context(), code, "Office")
	require.NoError(t, err)
	server := httptest.NewServer(api.New(y, time.Now, slog.New(slog.DiscardHandler)))
	t.Cleanup(server.Close)
	return y, server.URL, office
}

func TestAClientMadeFromTheDescriptionWorks(t *testing.T) {
	if testing.Short() {
		t.Skip("compiles a program")
	}
	_, address, office := served(t)
	answer, err := http.Get(address + "/api/v1/openapi.json")
	require.NoError(t, err)
	defer answer.Body.Close()
	var description bytes.Buffer
	_, err = description.ReadFrom(answer.Body)
	require.NoError(t, err)
	spec, err := openapi3.NewLoader().LoadFromData(description.Bytes())
	require.NoError(t, err)
	made, err := codegen.Generate(spec, codegen.Configuration{PackageName: "main",
		Generate: codegen.GenerateOptions{Client: true, Models: true}}.UpdateDefaults())
	require.NoError(t, err)
	folder := t.TempDir()
	file := filepath.Join(folder, "client.go")
	require.NoError(t, os.WriteFile(file, []byte(made), 0o600))
	here, err := filepath.Abs("program/client.go")
	require.NoError(t, err)
	overlay, err := json.Marshal(map[string]any{"Replace": map[string]string{here: file}})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "overlay.json"), overlay, 0o600))
	run := exec.CommandContext(t.Context(), "go", "run", "-buildvcs=false", "-tags", "made", "-overlay",
		filepath.Join(folder, "overlay.json"), "./program")
	run.Env = append(os.Environ(), "YARD="+address, "KEY="+office)
	said, err := run.CombinedOutput()
	require.NoError(t, err, string(said))
	out := string(said)
	for _, line := range []string{"site s1 Mill Lane 1", "marked 204", "changes true 0", "rules 700 0",
		"problem Nothing is kept at this address"} {
		require.Contains(t, out, line+"\n")
	}
	operations := 0
	for _, item := range spec.Paths.Map() {
		operations += len(item.Operations())
	}
	calls := regexp.MustCompile(`call (\w+) (\d+) (\w+)\n`).FindAllStringSubmatch(out, -1)
	require.GreaterOrEqual(t, len(calls), operations-1, "but for leaving, which would end the rest")
	for _, c := range calls {
		require.Regexp(t, "^(2..|3..|4(04|10|12|15|22))$", c[2], c[1])
		require.NotEqual(t, "unread", c[3], "%s: answered %s as it is not described", c[1], c[2])
	}
}

// The examples are run one after another, as they stand.
func TestExamplesAreTrue(t *testing.T) {
	for _, tool := range []string{"bash", "curl"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("there is no %s", tool)
		}
	}
	text, err := os.ReadFile("../EXAMPLES.md")
	require.NoError(t, err)
	_, address, office := served(t)
	blocks := regexp.MustCompile("(?s)```sh\n(.*?)```(?:\n+says `([^`]+)`)?").FindAllStringSubmatch(string(text), -1)
	require.Greater(t, len(blocks), 5)
	folder := t.TempDir()
	var script strings.Builder
	script.WriteString("set -eu\ncurl() { command curl --fail-with-body --silent --show-error \"$@\"; }\n")
	for _, b := range blocks {
		script.WriteString(b[1] + "\necho; echo '----'\n")
	}
	run := exec.CommandContext(t.Context(), "bash", "-c", script.String())
	run.Dir = folder
	run.Env = append(os.Environ(), "YARD="+address, "OFFICE="+office)
	said, err := run.CombinedOutput()
	require.NoError(t, err, string(said))
	parts := strings.Split(string(said), "----\n")
	require.Len(t, parts, len(blocks)+1)
	for i, b := range blocks {
		require.Contains(t, parts[i], b[2], b[1])
	}
}
