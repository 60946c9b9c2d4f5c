// Package pairing makes the link that lets a device into a yard, and the
// picture of it to scan: for a terminal and for the office's screen.
//
// # The server draws the picture's squares, the browser paints them
//
// So the encoder of QR codes is not in the browser's program, which every phone
// fetches. It would change if codes were made without a server in reach.
package pairing
