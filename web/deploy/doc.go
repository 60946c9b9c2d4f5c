// Package deploy holds what whoever runs a yard needs beside the program: a unit for
// systemd, an example of the settings, a recipe for an image, and OPERATING.md. Its tests
// hold each against the program.
//
// # The image is laid out without a builder
//
// It holds the program and three folders and nothing else, so that a program of a page
// writes it, the same bytes from the same program each time: deploy/image. The
// Containerfile says the same for those who have a builder.
package deploy
