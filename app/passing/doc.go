// Package passing hands a site, or the shop's rules, from one phone to the next with no
// signal: one shows a running row of QR pictures, the other's camera reads it. What goes is
// a back-up of that one thing, packed; it is looked at and restored like any other.
//
// Decision: a picture is a QR code of version 30 with the least correction, 1732 bytes in
// 137 squares a side, 12.5 a second. A camera of 1080 pixels has some six for a square, and at
// 30 pictures a second it sees each twice. Lost pictures are made up by the row's code
// (storage/row), not by the codes' own. A megabyte in 90 seconds with three pictures of ten
// lost needs 9.9 a second. It would change if phones' cameras saw more.
//
// Decision: a row flickers. The codes' squares are smaller than a tenth of a degree where
// a phone is held, and as many are dark in each picture, which success criterion 2.3.1 of
// WCAG 2.2 does not count as a flash (general flash thresholds, note 1); there is a caution
// all the same, and who asks for less motion begins with three pictures a second.
package passing
