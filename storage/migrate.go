package storage

import "pegpour/engine/refusal"

// migration turns a tree of one version into the next.
type migration func(tree map[string]any) error

// migrations lists, by format, the step from version i+1 to i+2. Steps stay
// for ever, and so does a file of every version in testdata/documents. A step
// works on the tree alone and never on today's types.
func migrations(format string) []migration {
	switch format {
	case Format, ShopFormat:
		return nil // version 1 is the first
	}
	return nil
}

func migrate(tree map[string]any, format string, from int) (map[string]any, error) {
	return migrateBy(tree, migrations(format), from)
}

func migrateBy(tree map[string]any, steps []migration, from int) (map[string]any, error) {
	for v := from; v-1 < len(steps); v++ {
		if err := steps[v-1](tree); err != nil {
			return nil, &DecodeError{Reason: refusal.Say("cannot be brought up to this version: {0}", refusal.Because(err)),
				Cause: err}
		}
		tree["version"] = float64(v + 1)
	}
	return tree, nil
}
