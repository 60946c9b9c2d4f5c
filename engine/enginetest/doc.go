// Package enginetest makes surveys for tests: sites of one kind each, and sites
// drawn by chance from a source, equal for equal sources. It knows the survey and
// no design, so that the engine's own tests may use it; the folder designs designs
// them. It is linked into tests only.
package enginetest
