// Package secure adds to every answer what keeps a browser from doing more with
// it than is meant.
package secure
