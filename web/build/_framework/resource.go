package app

// Nothing of the framework's resource.go runs in a browser: it tells the
// handler where the files lie.
