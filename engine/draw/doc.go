// Package draw turns shapes in model millimetres into drawings. It knows no
// gates: whoever calls it says what is an outline, what is a dimension and
// where each figure came from, and draw finds the room on the sheet.
//
// The way through it is short:
//
//	scene := &draw.Scene{Title: "Footing plan", Desc: "An L-shaped footing ..."}
//	scene.Add(draw.Region{...}, draw.Dimension{...})
//	sheet, err := draw.Layout(scene, draw.Phone(390, 420))
//	svg := draw.SVG(sheet, draw.Options{Screen: true})
//
// [Scene] holds what is drawn, in model units and without colours. [Layout]
// maps it to a target size and places every dimension, label and mark so that
// no text is crossed by anything ([Overlaps] proves it). [SVG] and the PDF
// writer in the folder pdf only render what [Layout] decided, so paper and
// screen cannot disagree.
//
// # Frame
//
// Model coordinates are millimetres, x to the right, y up (a plan has y into
// the property, a section or elevation has y as level). Sheet coordinates are
// the view's own units, CSS pixels or millimetres of paper, x right, y down.
// Mirroring for the hand happens in the map between the two, so shapes mirror
// and text never does.
//
// # Drawing habits
//
// Line weights 0.25, 0.5 and 0.7 mm in the 1:2 and 1:√2 steps of ISO 128-2;
// dimension text above its line and readable from below or from the right,
// oblique-stroke terminators for lengths, arrows for leaders and radii, after
// ISO 129-1 (both from memory). Hatches are our own drawing of the ISO 128-50
// habit.
//
// # Full sun is a theme of its own
//
// Black on white with every text at 10:1 or more, and lines 1.45 times as heavy; it
// is also what a phone gets that asks for more contrast. With 20 000 lx on the screen
// (engine/draw/glare has the model) texts, lines and hatches keep 3:1 of at most 3.8;
// texts of Day then keep 2.4, of Night 1.9, hatches nearly nothing. Day stays calmer, at 7:1.
// [Recolour] writes what a theme changes, so that a further one costs some 2 kB of
// style before packing. It would change if one theme could be read in both lights.
//
// # Lettering is the page's text
//
// On screens it is as large as the person has set the browser's text and never below
// 16 px; where the width has no room for large lettering it is taken smaller in
// steps, and what then still has no room is left out or moved by buttons into view,
// never scaled down. On paper it is 3.5 mm, whatever the screen. It would change if
// a drawing could be enlarged without losing its place.
package draw
