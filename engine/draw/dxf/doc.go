// Package dxf writes laid-out drawings for programs that draw, in the open exchange
// format DXF of release 12 (AC1009), which everything reads.
//
// The drawings keep their true size in mm. The release knows no hatch and no
// dimension that all readers draw alike, so fillings are left out and dimensions are
// lines and text, as [draw.Layout] placed them. Letters beyond
// Latin-1 are written \U+XXXX, which later readers know. It would change if a reader
// that matters needed a later release.
package dxf
