package api

import (
	_ "embed"
	"encoding/json"
	"net/http"

	"pegpour/storage/yard"
)

// Protocol is the version of the API, as it stands in every address of it.
const Protocol = "v1"

//go:embed openapi.json
var openAPI []byte

// describe answers with the description of the API.
func describe(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	return answer(w, r, http.StatusOK, json.RawMessage(openAPI))
}

// describeAs answers with the JSON Schema of what is kept or made.
func describeAs(schema []byte) func(http.ResponseWriter, *http.Request, yard.Device) error {
	return func(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
		return answer(w, r, http.StatusOK, json.RawMessage(schema))
	}
}

// explain answers with what a kind of problem means.
func explain(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	kind := r.PathValue("problem")
	title, known := problemTitles[kind]
	if !known {
		return yard.ErrNotFound
	}
	return answer(w, r, http.StatusOK, problem{Type: problemTypes + kind, Title: title})
}
