package app

import "github.com/maxence-charriere/go-app/v9/pkg/errors"

// The framework's crypto.go draws in AES and the system's generator, with their
// tests of themselves at each start. No program here encrypts what a browser keeps.

func encrypt(string, []byte) ([]byte, error) { return nil, errors.New("this program has no cipher") }

func decrypt(string, []byte) ([]byte, error) { return nil, errors.New("this program has no cipher") }
