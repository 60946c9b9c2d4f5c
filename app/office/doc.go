// Package office is the screens of the office. They show what stands in the yard, not
// what is on this device; nothing of a site is put into the device's store but a
// correction that is not sent yet. A site of the yard is edited over a store in memory
// (openDesk), so that drawing, figures, documents and undo are the phone's.
//
// Decision: a correction is one revision on what it was begun on, not on what is
// newest by then: the yard merges by field, and what truly conflicts is put to a
// person. Sending each keystroke would make a history nobody reads.
//
// Decision: a mark is changed under a condition (If-None-Match or If-Match), so that
// of two offices the second is told.
//
// Decision: the shop's rules are the yard's. The office works by those that came to its
// own browser, as a phone does, and changes them there; a site keeps those it was begun
// under, so that office and phone print the same.
package office
