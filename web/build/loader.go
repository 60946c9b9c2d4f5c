package main

import (
	"errors"
	"fmt"

	"github.com/evanw/esbuild/pkg/api"
)

// joinLoader joins the modules of the page's loader into one script, so that the
// start fetches one file. It holds nothing newer than ECMAScript 2019: a browser
// that cannot run the program must be able to say so.
func joinLoader() ([]byte, error) {
	joined := api.Build(api.BuildOptions{
		EntryPoints:      []string{"web/assets/loader/main.js"},
		Bundle:           true,
		Format:           api.FormatIIFE,
		Target:           api.ES2019,
		Charset:          api.CharsetUTF8,
		Banner:           map[string]string{"js": `"use strict";`}, // as modules are
		MinifyWhitespace: true,
		MinifySyntax:     true,
	})
	var faults []error
	for _, message := range append(joined.Errors, joined.Warnings...) {
		where := ""
		if at := message.Location; at != nil {
			where = fmt.Sprintf("%s:%d: ", at.File, at.Line)
		}
		faults = append(faults, errors.New(where+message.Text))
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	return joined.OutputFiles[0].Contents, nil
}
