package storage

import "pegpour/engine/refusal"

// migration turns a tree of one version into the next.
type migration func(tree map[string]any) error

// migrations lists, by format, the step from version i+1 to i+2. Steps stay
// for ever, and so does a file of every version in testdata/documents. A step
// works on the tree alone and never on today's types. Only tests change it.
var migrations = map[string][]migration{} // version 1 is the first of both

// newest is the version that this program writes of a format.
func newest(format string) int { return 1 + len(migrations[format]) }

// KnownVersion is the newest version of a site's document that this program knows.
func KnownVersion() int { return newest(Format) }

func migrate(tree map[string]any, format string, from int) (map[string]any, error) {
	steps := migrations[format]
	for v := from; v-1 < len(steps); v++ {
		if err := steps[v-1](tree); err != nil {
			return nil, &DecodeError{Reason: refusal.Say("cannot be brought up to this version: {0}", refusal.Because(err)),
				Cause: err}
		}
		tree["version"] = float64(v + 1)
	}
	return tree, nil
}

// migrateTree is migrate for a tree that says its version.
func migrateTree(tree map[string]any, format string) (map[string]any, error) {
	return migrate(tree, format, versionOf(tree))
}

// versionOf is the version that a tree says, 0 for none.
func versionOf(tree map[string]any) int {
	number, _ := tree["version"].(float64)
	if number != float64(int(number)) {
		return 0
	}
	return int(number)
}
