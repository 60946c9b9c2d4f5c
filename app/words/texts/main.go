// Command texts works on the files of the languages. Run it from the root of
// the module.
//
//	go run ./app/words/texts                    every text, with its places
//	go run ./app/words/texts -language de       what the file of a language lacks, as JSON to fill in
//	go run ./app/words/texts -why 'Some text'   where a text stands and how it comes to be said
//	go run ./app/words/texts -pseudo file.json  a language for tests: long, accented, right to left
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"strings"

	files "pegpour/app/words"
	"pegpour/app/words/gather"
)

func main() {
	language := flag.String("language", "", "`code` of the language whose missing texts are printed")
	why := flag.String("why", "", "`text` to explain")
	pseudo := flag.String("pseudo", "", "`file` to write the language for tests to")
	flag.Parse()
	if err := run(*language, *why, *pseudo); err != nil {
		fmt.Fprintln(os.Stderr, "texts:", err)
		os.Exit(1)
	}
}

func run(language, why, pseudo string) error {
	report, err := gather.Gather(".")
	if err != nil {
		return err
	}
	for _, f := range report.Faults {
		fmt.Fprintln(os.Stderr, f)
	}
	switch {
	case pseudo != "":
		return os.WriteFile(pseudo, gather.Pseudo(report), 0o644)
	case why != "":
		k, ok := report.Key(why)
		if !ok {
			return fmt.Errorf("no such text: %s", why)
		}
		fmt.Println(strings.Join(append(k.Where, k.Way...), "\n"))
		return nil
	case language != "":
		return missing(report, language)
	}
	for _, k := range report.Keys {
		fmt.Printf("%s\t%s\n", k.Text, strings.Join(k.Where, " "))
	}
	return nil
}

// missing prints what a language lacks.
func missing(report *gather.Report, code string) error {
	l, err := files.Read(code)
	if err != nil {
		return err
	}
	lack := map[string]string{}
	for _, k := range report.Keys {
		if !l.Has(k.Text) {
			lack[k.Text] = ""
		}
	}
	out := json.NewEncoder(os.Stdout)
	out.SetEscapeHTML(false)
	out.SetIndent("", " ")
	return out.Encode(lack)
}
