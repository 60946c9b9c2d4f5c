package storage

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

var update = flag.Bool("update", false, "write the schema anew")

const schemaFile = "schema/site.schema.json"

type object = map[string]any

// schemaOf describes a Go type as JSON Schema; path is the survey path of the
// place, "" outside the survey.
func schemaOf(t reflect.Type, path string) object {
	switch {
	case t == reflect.TypeFor[survey.Value]():
		return valueSchema(path)
	case t == reflect.TypeFor[survey.Method]():
		return methodSchema()
	case path == "practice":
		return practiceSchema()
	}
	switch t.Kind() {
	case reflect.Pointer:
		return schemaOf(t.Elem(), path)
	case reflect.String:
		return wordsSchema(path)
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.Int, reflect.Int64:
		return object{"type": "integer"}
	case reflect.Float64:
		return object{"type": "number"}
	case reflect.Map:
		return object{"type": "object", "additionalProperties": schemaOf(t.Elem(), "")}
	case reflect.Slice:
		return listSchema(t, path)
	case reflect.Struct:
		properties := object{}
		for i := range t.NumField() {
			f := t.Field(i)
			if !f.IsExported() {
				continue
			}
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if name == "-" { // stands in no document
				continue
			}
			properties[name] = schemaOf(f.Type, inside(path, name))
		}
		return object{"type": "object", "properties": properties}
	}
	panic("no schema for " + t.String())
}

func inside(path, name string) string {
	switch {
	case path == "" && (name == "survey" || name == "practice"):
		return name
	case path == "":
		return ""
	case path == "survey":
		return name
	}
	return path + "." + name
}

func listSchema(t reflect.Type, path string) object {
	entry := schemaOf(t.Elem(), path+".0")
	if t.Elem().Kind() == reflect.Struct {
		entry["properties"].(object)[entryKey] = object{"type": "string", "minLength": 1,
			"description": "Identity of the entry, by which edits and merging find it."}
		entry["required"] = []any{entryKey}
	}
	return object{"type": "array", "items": entry}
}

func describe(s object, f survey.Field) object {
	s["description"] = strings.TrimSpace(f.Name.String() + ". " + f.Help)
	return s
}

func valueSchema(path string) object {
	s := object{"type": "object", "required": []any{"size"}, "properties": object{
		"size": object{"type": "number"}, "how": methodSchema(), "text": object{"type": "string"},
		"sigma": object{"type": "number", "minimum": 0, "description": "Standard uncertainty, in the unit of size."},
	}}
	if f, ok := survey.FieldAt(path); ok && f.Numeric() {
		describe(s, f)
		s["if"] = object{"required": []any{"how"}}
		s["then"] = object{"properties": object{"size": object{"minimum": f.Low, "maximum": f.High}}}
	}
	return s
}

func methodSchema() object {
	var methods []any
	for _, m := range survey.Methods() {
		methods = append(methods, string(m))
	}
	return object{"enum": methods, "description": "How it was measured; absent: it was not."}
}

func wordsSchema(path string) object {
	f, ok := survey.FieldAt(path)
	if !ok {
		return object{"type": "string"}
	}
	if len(f.Options) == 0 {
		return describe(object{"type": "string"}, f)
	}
	var values []any
	for _, o := range f.Options {
		values = append(values, o.Value)
	}
	return describe(object{"enum": values}, f)
}

func practiceSchema() object {
	properties := object{}
	for _, r := range practice.Rules() {
		properties[r.Key] = object{"type": "number", "minimum": r.Low, "maximum": r.High, "description": r.Name}
	}
	return object{"type": "object", "properties": properties, "additionalProperties": object{"type": "number"},
		"description": "The rules that this site overrides."}
}

func siteSchema() object {
	s := schemaOf(reflect.TypeFor[Document](), "")
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "Site"
	s["description"] = "One site as kept on a device. Lengths in mm, angles in rad. Names that are not here belong to newer versions and are kept."
	s["required"] = []any{"format", "version", "id"}
	p := s["properties"].(object)
	p["format"] = object{"const": Format}
	p["version"] = object{"const": newest(Format)}
	p["id"] = object{"type": "string", "minLength": 1}
	return s
}

func compiledSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("site.schema.json", v); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("site.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func validate(t *testing.T, s *jsonschema.Schema, text []byte) error {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(v)
}

// TestSchemaIsCurrent: the file is what today's types and tables give. After a
// change of those run go test ./storage -run Schema -update.
func TestSchemaIsCurrent(t *testing.T) {
	want, err := json.MarshalIndent(siteSchema(), "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	want = append(want, '\n')
	if *update {
		if err := os.WriteFile(schemaFile, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is not what the types and tables give: run go test ./storage -run Schema -update", schemaFile)
	}
}

func TestSchemaTakesOurDocuments(t *testing.T) {
	s := compiledSchema(t)
	for _, name := range []string{"site-v1.json", "site-v1-unknown.json"} {
		d, _ := readDocument(t, name)
		if err := validate(t, s, encode(t, d)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 11))
		d := wander(t, r, NewDocument("2026-01-01T00:00:00Z"), 40)
		if err := validate(t, s, encode(t, d)); err != nil {
			t.Errorf("seed %d: %v\n%s", seed, err, encode(t, d))
		}
	}
}

func TestSchemaRefuses(t *testing.T) {
	s := compiledSchema(t)
	good := fmt.Sprintf(`"format":%q,"version":1,"id":"x"`, Format)
	if err := validate(t, s, []byte("{"+good+"}")); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{
		`{}`, `[]`, `{"format":"x","version":1,"id":"x"}`, `{"format":"pegpour-site","version":2,"id":"x"}`,
		`{` + good + `,"survey":{"opening":{"width":{"size":"4"}}}}`,
		`{` + good + `,"survey":{"opening":{"width":{"size":-5,"how":"tape"}}}}`,
		`{` + good + `,"survey":{"opening":{"width":{"size":4000,"how":"guess"}}}}`,
		`{` + good + `,"survey":{"opening":{"hand":"up"}}}`,
		`{` + good + `,"survey":{"runBack":{"obstructions":[{"kind":"tree"}]}}}`,
		`{` + good + `,"practice":{"strip.width":-1}}`,
		`{` + good + `,"drafts":{"a":1}}`,
	} {
		if validate(t, s, []byte(bad)) == nil {
			t.Errorf("%s was taken", bad)
		}
	}
}

// TestSchemaNamesEveryField: no field of the survey is missing.
func TestSchemaNamesEveryField(t *testing.T) {
	text, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	var measured survey.Survey
	measured.RunBack.Obstructions = make([]survey.Obstruction, 1)
	measured.Drive.RunBackEdge.Points = make([]survey.EdgePoint, 1)
	for _, f := range survey.Fields(&measured) {
		name, err := json.Marshal(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Contains(text, slices.Concat([]byte(`"description": `), name[:len(name)-1])) {
			t.Errorf("%s (%s) is not in the schema", f.Path, f.Name)
		}
	}
}
