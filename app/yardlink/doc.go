// Package yardlink is the link of this device to the yard: the client that speaks to
// it, how the line is, what is not in the yard yet, and how that is said.
//
// Decision: one tab speaks to the yard. It holds a Web Lock as long as it lives; the
// next tab gets it by itself. Other tabs hear of progress over a channel and read
// what is not sent from the store.
//
// Decision: a step to the yard draws no screen anew unless that screen shows how
// things stand (UpdateQuietly), and it waits until typing has paused.
package yardlink
