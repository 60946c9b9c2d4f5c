// Package settings reads what a server is told: each of its flags may also stand in
// a file and in the environment, under the same name.
//
// # The flags are the table
//
// A setting is a flag of package flag and nothing more. The key in the file is the
// flag's name; in the environment it is PEGPOUR_ and the name in capitals, with _
// for -. What is typed goes before the environment, the environment before the file,
// the file before the default. So file, flag, environment and help cannot differ, and
// a new setting is one line.
package settings

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"net/url"
	"os"
	"regexp"
	"slices"
	"strings"

	"github.com/BurntSushi/toml"
)

// Prefix begins the names of the environment.
const Prefix = "PEGPOUR_"

// File is the name of the flag that names the file.
const File = "config"

// maxFileBytes bounds the file: one that is larger is not meant.
const maxFileBytes = 1 << 20

// Variable is the setting's name in the environment.
func Variable(name string) string {
	return Prefix + strings.ToUpper(strings.ReplaceAll(name, "-", "_"))
}

// Reader reads settings.
type Reader struct {
	// Known are the names that may stand in the file: of those the flags that are read
	// may have some only.
	Known []string
	// Instead lists settings of which one stands instead of another: where one is
	// given, the others are not taken from what counts less.
	Instead [][]string
	// Getenv asks the environment; nil is os.LookupEnv.
	Getenv func(name string) (string, bool)
}

// Given is where the values came from.
type Given struct {
	// From has, by name, what gave the value, in words; a default has none.
	From map[string]string
	// File is the file that was read, "" for none.
	File string
}

// Apply sets the flags that were not typed from the environment and the file. flags
// has been parsed. Errors name the variable, or the file and the line; all that is wrong
// is found at once.
func (r Reader) Apply(flags *flag.FlagSet) (Given, error) {
	given := Given{From: map[string]string{}}
	flags.Visit(func(f *flag.Flag) { given.From[f.Name] = "-" + f.Name })
	getenv := r.Getenv
	if getenv == nil {
		getenv = os.LookupEnv
	}
	var wrong []error
	environment := map[string]value{}
	for _, name := range r.Known {
		if text, found := getenv(Variable(name)); found && text != "" {
			environment[name] = value{text, Variable(name)}
		}
	}
	wrong = append(wrong, r.set(flags, &given, environment)...)
	at := flags.Lookup(File)
	if at == nil || at.Value.String() == "" {
		return given, errors.Join(wrong...)
	}
	given.File = at.Value.String()
	file, err := r.read(given.File)
	if err != nil {
		wrong = append(wrong, err)
	}
	wrong = append(wrong, r.set(flags, &given, file)...)
	return given, errors.Join(wrong...)
}

type value struct{ text, from string }

// set sets the flags that nothing set yet, in the order of the table.
func (r Reader) set(flags *flag.FlagSet, given *Given, values map[string]value) []error {
	var wrong []error
	before := map[string]bool{}
	for name := range given.From {
		before[name] = true
	}
	for _, name := range r.Known {
		v, found := values[name]
		f := flags.Lookup(name)
		if !found || f == nil || before[name] || r.insteadOf(name, before) {
			continue
		}
		if err := f.Value.Set(v.text); err != nil {
			shown := v.text
			if Secret(name) {
				shown = "…"
			}
			wrong = append(wrong, fmt.Errorf("%s: %s is %q: %w", v.from, name, shown, err))
			continue
		}
		given.From[name] = v.from
	}
	return wrong
}

func (r Reader) insteadOf(name string, before map[string]bool) bool {
	return slices.ContainsFunc(r.Instead, func(group []string) bool {
		return slices.Contains(group, name) && slices.ContainsFunc(group, func(other string) bool { return before[other] })
	})
}

// read reads a file: TOML, names and values without tables.
func (r Reader) read(name string) (map[string]value, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, maxFileBytes+1))
	if err != nil {
		return nil, err
	}
	if len(text) > maxFileBytes {
		return nil, fmt.Errorf("%s has more than %d bytes: it is no file of settings", name, maxFileBytes)
	}
	var tree map[string]any
	if _, err := toml.Decode(string(text), &tree); err != nil {
		var at toml.ParseError
		if errors.As(err, &at) {
			return nil, fmt.Errorf("%s:%d: %s", name, at.Position.Line, at.Message)
		}
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	values := map[string]value{}
	var wrong []error
	for _, key := range slices.Sorted(keys(tree)) {
		from := fmt.Sprintf("%s:%d", name, lineOf(string(text), key))
		if !slices.Contains(r.Known, key) || key == File {
			wrong = append(wrong, fmt.Errorf("%s: there is no setting %q%s", from, key, r.meant(key)))
			continue
		}
		plain, err := plainly(tree[key])
		if err != nil {
			wrong = append(wrong, fmt.Errorf("%s: %s: %w", from, key, err))
			continue
		}
		values[key] = value{plain, from}
	}
	return values, errors.Join(wrong...)
}

func keys(tree map[string]any) func(func(string) bool) {
	return func(yield func(string) bool) {
		for key := range tree {
			if !yield(key) {
				return
			}
		}
	}
}

// plainly is a value as a flag takes it; lists are joined by commas.
func plainly(v any) (string, error) {
	switch v := v.(type) {
	case string, bool, int64, float64:
		return fmt.Sprint(v), nil
	case []any:
		var parts []string
		for _, one := range v {
			text, ok := one.(string)
			if !ok || strings.Contains(text, ",") {
				return "", errors.New("a list holds texts without commas")
			}
			parts = append(parts, text)
		}
		return strings.Join(parts, ","), nil
	}
	return "", errors.New("neither a text, a number, true, false nor a list of texts")
}

// lineOf finds the line at which a key stands, as itself or as the head of a table.
func lineOf(text, key string) int {
	quoted := regexp.QuoteMeta(key)
	stands := regexp.MustCompile(`^\s*(\[+\s*)?["']?` + quoted + `["']?\s*[=.\]]`)
	n := 0
	for line := range strings.Lines(text) {
		n++
		if stands.MatchString(line) {
			return n
		}
	}
	return 1
}

// meant names the setting that one letter, or - for _, would make of a name.
func (r Reader) meant(key string) string {
	key = strings.ReplaceAll(strings.ToLower(key), "_", "-")
	for _, name := range r.Known {
		if near(key, name) {
			return fmt.Sprintf("; is %q meant?", name)
		}
	}
	return ""
}

// near reports whether one letter put in, left out, changed or two exchanged makes one
// word the other.
func near(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	if len(a) < len(b) {
		return a[i:] == b[i+1:]
	}
	return i == len(a) || a[i+1:] == b[i+1:] ||
		i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

// Strangers are variables of the environment that begin like a setting and are none.
func (r Reader) Strangers(environment []string) []string {
	var out []string
	for _, line := range environment {
		name, _, _ := strings.Cut(line, "=")
		known := slices.ContainsFunc(r.Known, func(k string) bool { return Variable(k) == name })
		if strings.HasPrefix(name, Prefix) && !known {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}

// Secret reports a setting whose value is never shown.
func Secret(name string) bool {
	for _, end := range []string{"token", "secret", "password"} {
		if name == end || strings.HasSuffix(name, "-"+end) {
			return true
		}
	}
	return false
}

// Shown is a value as it may be shown: without what is secret in it.
func Shown(f *flag.Flag) string {
	text := f.Value.String()
	if text != "" && Secret(f.Name) {
		return "(set, not shown)"
	}
	if u, err := url.Parse(text); err == nil && u.User != nil {
		return u.Redacted()
	}
	if strings.Contains(text, "://") && strings.Contains(text, "@") { // an address that cannot be read
		return "(set, not shown)"
	}
	return text
}

// Markdown is the table of the settings, for the documentation.
func Markdown(flags *flag.FlagSet, without ...string) string {
	var b strings.Builder
	b.WriteString("| In the file, and as a flag | In the environment | What it is | By itself |\n|---|---|---|---|\n")
	flags.VisitAll(func(f *flag.Flag) {
		if slices.Contains(without, f.Name) {
			return
		}
		kind, help := flag.UnquoteUsage(f)
		if kind != "" {
			kind = " " + kind
		}
		byItself := ""
		if f.DefValue != "" {
			byItself = "`" + f.DefValue + "`"
		}
		help = strings.ReplaceAll(help, "|", "\\|")
		fmt.Fprintf(&b, "| `%s`%s | `%s` | %s | %s |\n", f.Name, kind, Variable(f.Name), help, byItself)
	})
	return b.String()
}
