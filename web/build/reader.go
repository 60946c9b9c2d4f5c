package main

import (
	"fmt"
	"os"
	"regexp"
)

// readerFolder holds what reads codes, as its makers publish it.
const readerFolder = "web/assets/zxing/"

// otherSite is where the reader would look for its program if it were not given that.
var otherSite = regexp.MustCompile(`https://fastly\.jsdelivr\.net/npm/zxing-wasm@[0-9.]+/dist/`)

// licensed is the reader's script with its licence above it, and without the address of
// another site in it.
func licensed(script []byte) ([]byte, error) {
	if n := len(otherSite.FindAll(script, -1)); n != 1 {
		return nil, fmt.Errorf("%szxing.js names %s %d times, not once: look at what is new in it", readerFolder, otherSite, n)
	}
	licence, err := os.ReadFile(readerFolder + "LICENSE")
	if err != nil {
		return nil, err
	}
	above := fmt.Sprintf("/* %s\nThe program that it runs is ZXing-C++, under the Apache License, version 2.0. */\n", licence)
	return append([]byte(above), otherSite.ReplaceAll(script, nil)...), nil
}

// addReader adds what reads codes off a camera's pictures, and the worker it runs in.
func (a *assembly) addReader() error {
	for _, name := range []string{"zxing.js", "zxing.wasm"} {
		content, err := os.ReadFile(readerFolder + name)
		if err == nil && name == "zxing.js" {
			content, err = licensed(content)
		}
		if err != nil {
			return err
		}
		if _, err := a.add(name, content); err != nil {
			return err
		}
	}
	worker, err := a.fill("web/assets/reader.js", nil)
	if err != nil {
		return err
	}
	_, err = a.add("reader.js", worker)
	return err
}

// addPicture adds what draws in space.
func (a *assembly) addPicture() error {
	script, err := os.ReadFile("web/assets/picture.js")
	if err != nil {
		return err
	}
	_, err = a.add("picture.js", script)
	return err
}
