// Package reference lists the published and general-purpose values that the
// engine was checked against, with what it gives for each, so that a figure can
// be shown beside what backs it.
//
// The list is made by the tests: TestTable runs the maths packages' own
// reference tests, takes down what each found, holds it against the cases in
// testdata/references, and fails when the list here is not the one it finds.
package reference

import (
	"math"
	"strconv"
	"strings"
)

// Case is one published case.
type Case struct {
	Subject string // the maths package: "steel", "soil", ...
	Topic   string // what was checked, in the trade's words
	Title   string
	Source  string
	// Kind says how the source was had: KindRead, KindFormula, KindMemory or
	// KindComputed.
	Kind string
	// Unused is set where no design calls the formula that the case checks.
	Unused bool
	Values []Value
}

// How a source was had.
const (
	KindRead     = "read"     // the value as it is printed there
	KindFormula  = "formula"  // the formula as it is printed there; the value was worked out from it
	KindMemory   = "memory"   // the value, recalled from the named book or standard
	KindComputed = "computed" // no source: arithmetic of its own
)

// Erratum is a value that its source prints wrongly.
type Erratum struct {
	Source, Where   string
	Printed, Should string
	Why             string // what shows that it is wrong
}

// Value is one value of a case.
type Value struct {
	Name string
	// Expected and Got are as printed: numbers, or a word for a shape.
	Expected, Got string
	// Error is |got − expected| over |expected|, or the size of the difference
	// where nothing is expected; 0 for a shape.
	Error float64
}

// Cases reads the list, in the order of subjects and files, from the text of
// table.tsv. It lies beside the program, since one screen in a hundred visits
// asks for it.
func Cases(table string) []Case {
	var cases []Case
	for line := range strings.SplitSeq(strings.TrimRight(table, "\n"), "\n") {
		part := strings.Split(line, "\t")
		switch {
		case len(part) == 6:
			cases = append(cases, Case{Subject: part[0], Topic: part[1], Title: part[2], Source: part[3], Kind: part[4],
				Unused: part[5] != ""})
		case len(part) == 4 && part[0] == "" && len(cases) > 0:
			// Nothing stands for what was found where it is what was expected.
			got := part[3]
			if got == "" {
				got = part[2]
			}
			c := &cases[len(cases)-1]
			c.Values = append(c.Values, Value{Name: part[1], Expected: part[2], Got: got, Error: apart(part[2], got)})
		}
	}
	return cases
}

// apart is how far two printed numbers are from one another, as part of the
// first where that is not 0; 0 for words.
func apart(expected, got string) float64 {
	want, err := strconv.ParseFloat(expected, 64)
	if err != nil {
		return 0
	}
	is, _ := strconv.ParseFloat(got, 64)
	if want == 0 {
		return math.Abs(is)
	}
	return math.Abs(is-want) / math.Abs(want)
}

// Errata reads what the sources print wrongly, as far as it was found here, from
// the text of errata.tsv: such a value is not checked against.
func Errata(errata string) []Erratum {
	var all []Erratum
	for line := range strings.SplitSeq(strings.TrimRight(errata, "\n"), "\n") {
		if part := strings.Split(line, "\t"); len(part) == 5 {
			all = append(all, Erratum{part[0], part[1], part[2], part[3], part[4]})
		}
	}
	return all
}

// backing says which subjects and topics stand behind a figure, by the
// beginning of its ID.
var backing = []struct {
	figure string
	topics []string
}{
	{"strength.strip", []string{"slab", "beam on elastic foundation", "beam on elastic foundation end", "concrete",
		"reinforced section", "wheels on a strip", "least steel", "shear"}},
	{"strength.bearing", []string{"beam on elastic foundation", "soil table"}},
	{"strength.post", []string{"steel section", "cantilever", "column"}},
	{"strength.embedment", []string{"embedded post", "soil table"}},
	{"strength.anchor", []string{"anchors"}},
	{"strength.motorAnchor", []string{"anchors"}},
	{"strength.frontCarriageHold", []string{"anchor group", "anchor edge"}},
	{"strength.rearCarriageHold", []string{"anchor group", "anchor edge"}},
	{"strength.motorHold", []string{"anchor group", "anchor edge"}},
	{"strength.plateHold", []string{"anchor group", "anchor edge"}},
	{"strength.stopHold", []string{"anchor group", "anchor edge"}},
	{"strength.stop", []string{"stop"}},
	{"pair.stop", []string{"stop"}},
	{"pair.holds", []string{"sliding footing"}},
	{"wind.", []string{"wind", "gust", "terrain", "exposure", "zones", "lattice", "leaf"}},
	{"hanging.", []string{"overhang", "two carriages", "block", "tilt"}},
	{"footing.", []string{"steel section", "bar", "beam", "continuous beam", "moving load", "column"}},
	{"wall.", []string{"earth pressure", "least earth pressure", "passive pressure", "retaining wall", "posted wall"}},
	{"cavity.", []string{"earthwork"}},
	{"motion.", []string{"motion", "wheel", "wheels"}},
	{"leaf.mass", []string{"steel section"}},
	{"concrete.area", []string{"polygon area", "polygon union", "overlay"}},
	{"concrete.bags", []string{"bag yield", "bag count", "bag count imperial"}},
	{"concrete.", []string{"pour", "polygon union", "circular segment", "overlay"}},
	{"dig.sides", []string{"sides of a dig"}},
	{"dig.", []string{"spoil", "earthwork"}},
	{"pad.level", []string{"levelling", "plane fit"}},
	{"track.", []string{"levelling", "line fit", "slope"}},
	{"network.", []string{"tape network", "trilateration", "tape corrections"}},
}

// Topics returns the topics that back a figure, nil where none does: those are
// plain sums and rules of the trade.
func Topics(figure string) []string {
	figure = strings.TrimPrefix(figure, "other.") // of two leaves
	for _, b := range backing {
		if strings.HasPrefix(figure, b.figure) {
			return b.topics
		}
	}
	return nil
}
