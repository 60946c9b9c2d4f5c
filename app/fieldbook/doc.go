// Package fieldbook is the tools one measures with on site: the tape network, the
// level book, the slope that the phone reads, photos and notes, and the plan drawn
// over a photo.
package fieldbook
