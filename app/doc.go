// Package app is the screens: they ask the engine, show what it says and store
// what is typed. They never compute.
package app
