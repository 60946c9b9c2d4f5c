// Package e2e drives the real server and a real browser, as a phone of
// 390×844 points, through what only the two together can show: starting
// without signal, changing over to a new version, being killed in the middle.
//
// A test starts a Server, launches a Browser on a profile folder, opens Pages
// and asks them. Every wait is for something seen, never for a time. What the
// browser sends to any other machine is caught by a proxy and can be listed.
package e2e
