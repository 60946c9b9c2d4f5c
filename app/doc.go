// Package app is the screens of a site and of the list of sites, the routes to every
// screen of the phone's program, and the Program that ties all of it together. Screens ask the engine, show
// what it says and store what is typed; they never compute.
//
// What is said stands in language, what is edited and stored in editing, the list in
// sites, the yard in yardlink; parts of screens in ui, and screens of their own in
// fieldbook, documents and keeping. They are made once, in launch.On and NewProgram,
// and given to the screens that use them. The screens of the office are a program of
// their own.
package app
