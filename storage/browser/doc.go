// Package browser keeps the store in a web page's IndexedDB. Every change is a
// transaction of its own with strict durability: it counts as done only when
// the disk has it. Outside a browser the package is empty.
//
// It speaks to IndexedDB directly. The binding go-indexeddb v0.3.2 lets one
// choose the durability, but has no getAll (a list of 10,000 sites would take
// 10,000 events), does not report a blocked upgrade, answers with nothing and
// no error when a context ends, and starts several goroutines for each request.
//
// A page that is left takes its transactions with it: WebKit keeps it asleep with
// them open, and the next page's writes wait for ever. What still runs is aborted
// on pagehide; nothing acknowledged is touched.
package browser
