package main

import (
	"flag"
	"fmt"
	"os"
)

// brotliBudget is the most that the packed program may weigh, in bytes: what a
// phone fetches once over a weak signal. One and a half times a bare page of the
// framework as it is (1.43 MB; -main ./web/e2e/bare -framework whole) would be
// 2.15 MB.
const brotliBudget = 2_250_000

// officeBudget is the most that the packed program of the office may weigh, in
// bytes: it is fetched where somebody opens the office, in place of the phone's.
const officeBudget = 2_100_000

// buildingBudget is the most that the packed program of building may weigh, in bytes:
// it is fetched after the app has started, and opened once the pegs are set or
// something is looked up.
const buildingBudget = 2_500_000

// papersBudget is the most that the packed program that makes documents may
// weigh, in bytes: it is fetched after the app has started.
const papersBudget = 2_100_000

// looser is how much heavier than at quality 11 a program may be at a lower one: at 9,
// in a tenth of the time, each of ours is 1.157 to 1.169 times as heavy.
const looser = 1.165

// options are what the command line chooses.
type options struct {
	out      string // folder of the bundle
	main     string // package compiled to the browser program
	office   string // package compiled to the program of the office, "" for none
	building string // package compiled to the program of building, "" for none
	papers   string // package compiled to the program that makes documents, "" for none
	cache    string // folder of packed files kept from build to build
	quality  int    // of brotli
	mark     string // text put into the program, to make another version of it
	server   string // server binary to build around the bundle, "" for none
	budget   int    // bytes

	framework string // "trimmed" of what never runs in a browser, or "whole"
	wordsFrom string // folders of the files of languages, with commas between
	overlay   string // file of the go command that names other files for the source, "" for none
}

func main() {
	var o options
	flag.StringVar(&o.out, "out", "web/built", "folder the bundle is written to")
	flag.StringVar(&o.main, "main", "./app/browser", "package compiled to the browser program")
	flag.StringVar(&o.office, "office", "./app/office/desk",
		"package compiled to the program of the addresses under /office; empty for none")
	flag.StringVar(&o.building, "building", "./app/building/program",
		"package compiled to the program of the addresses /site/…/build/…; empty for none")
	flag.StringVar(&o.papers, "papers", "./app/papers",
		"package compiled to the program that makes documents; empty for none")
	flag.StringVar(&o.cache, "cache", "build/cache", "folder for what need not be done again")
	flag.StringVar(&o.wordsFrom, "words", "app/words", "`folders` with the files of the languages, with commas between")
	flag.IntVar(&o.quality, "quality", 11, "brotli quality, 0 (fast) to 11 (small)")
	flag.StringVar(&o.mark, "mark", "", "text put into the program, so that tests have a second version of it")
	flag.StringVar(&o.server, "server", "", "also build the server with this bundle in it, to this file")
	flag.IntVar(&o.budget, "budget", brotliBudget, "most bytes the program may have once packed with brotli")
	flag.StringVar(&o.framework, "framework", "trimmed",
		"trimmed: without the parts of the framework that never run in a browser; whole: as it is")
	flag.StringVar(&o.overlay, "overlay", "", "`file` of the go command that names other files for some of the source")
	flag.Parse()
	if o.framework != "trimmed" && o.framework != "whole" {
		fmt.Fprintf(os.Stderr, "build: -framework is %q, trimmed and whole are allowed\n", o.framework)
		os.Exit(2)
	}
	if err := build(o); err != nil {
		fmt.Fprintln(os.Stderr, "build:", err)
		os.Exit(1)
	}
}
