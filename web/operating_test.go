package main

import (
	"flag"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/web/settings"
)

var update = flag.Bool("update", false, "write the table of settings into the page for operators")

const operating = "deploy/OPERATING.md"

// The page for operators lists the settings as they are.
func TestSettingsAreDocumented(t *testing.T) {
	text := readFile(t, operating)
	before, rest, found := strings.Cut(text, "<!-- settings -->\n")
	require.True(t, found)
	_, after, found := strings.Cut(rest, "<!-- end of settings -->\n")
	require.True(t, found)
	flags, _ := serveFlags()
	want := before + "<!-- settings -->\n" + settings.Markdown(flags, append(serveOnce, settings.File)...) +
		"<!-- end of settings -->\n" + after
	if *update {
		require.NoError(t, os.WriteFile(operating, []byte(want), 0o644))
		return
	}
	require.Equal(t, want, text, "run go test ./web -run SettingsAreDocumented -update")
}

// What the page calls a command or a flag is one.
func TestOperatorsPageNamesWhatThereIs(t *testing.T) {
	var names []string
	for _, c := range commands() {
		names = append(names, c.name)
	}
	for line := range strings.Lines(readFile(t, operating)) {
		for rest := line; ; {
			_, after, found := strings.Cut(rest, "pegpour ")
			if !found {
				break
			}
			word, _, _ := strings.Cut(strings.TrimSpace(after), " ")
			word = strings.Trim(word, "`.,;\n")
			if strings.Contains(line, "-- pegpour "+word) || strings.HasPrefix(line, "pegpour "+word) {
				require.Contains(t, names, word, line)
			}
			rest = after
		}
	}
}
