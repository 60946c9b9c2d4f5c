package app

// Nothing of this file is for those who call from within a browser: making a
// static site is the work of the machine that builds it.
