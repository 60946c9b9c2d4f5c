package world

import "testing"

// What drawn worlds found, each as short as it could be made.

// A server whose clock is set back went on shutting out a phone that had failed once.
func TestAServersClockIsSetBack(t *testing.T) {
	holds(t, plan{Phones: 2, Layout: 0, Events: []event{
		{"half an answer", 1, 999},
		{"paired elsewhere", 1, 743},
		{"sync", 1, 999},
		{"yard's clock", 1, 2},
	}})
}
