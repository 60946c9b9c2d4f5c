// Package words holds the files of the languages, for programs that carry them:
// the server and its command line. The browser fetches the one that is spoken.
package words

import (
	"embed"
	"fmt"
	"strings"

	"pegpour/engine/words"
)

//go:embed *.json
var files embed.FS

// File is the file of a language by its code; empty for English, which needs
// none. The error names the languages that there are.
func File(code string) ([]byte, error) {
	if code == "" || code == "en" {
		return nil, nil
	}
	data, err := files.ReadFile(code + ".json")
	if err != nil {
		return nil, fmt.Errorf("no language %q, there are %s", code, strings.Join(Codes(), ", "))
	}
	return data, nil
}

// Codes lists the languages, English first.
func Codes() []string {
	codes := []string{"en"}
	entries, _ := files.ReadDir(".")
	for _, e := range entries {
		codes = append(codes, strings.TrimSuffix(e.Name(), ".json"))
	}
	return codes
}

// Read reads the language of a code; nil for English.
func Read(code string) (*words.Language, error) {
	data, err := File(code)
	if err != nil || data == nil {
		return nil, err
	}
	return words.Read(data)
}
