// Package cases runs the published and computed cases of testdata/references:
// it reads them, hands their inputs to a test, holds what the test found
// against what is expected, and takes it down for the one test that lists all
// of them. It is linked into tests only.
package cases
