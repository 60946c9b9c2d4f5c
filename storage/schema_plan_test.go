package storage

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

const planSchemaFile = "schema/plan.schema.json"

// planTypes describes the Go types of a plan, each struct once, by name.
type planTypes struct{ definitions object }

// written are the types that write themselves in another form than their fields.
var written = map[reflect.Type]object{
	reflect.TypeFor[text.Name](): {"type": "string"},
}

func (p *planTypes) of(t reflect.Type) object {
	if s, ok := written[t]; ok {
		return s
	}
	switch t.Kind() {
	case reflect.Pointer:
		return object{"anyOf": []any{p.of(t.Elem()), object{"type": "null"}}}
	case reflect.String:
		return object{"type": "string"}
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.Int, reflect.Int64, reflect.Uint8, reflect.Uint64:
		return object{"type": "integer"}
	case reflect.Float64:
		return object{"type": "number"}
	case reflect.Map:
		return object{"type": []any{"object", "null"}, "additionalProperties": p.of(t.Elem())}
	case reflect.Slice:
		return object{"type": []any{"array", "null"}, "items": p.of(t.Elem())}
	case reflect.Array:
		return object{"type": "array", "items": p.of(t.Elem()), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.Struct:
		return p.structOf(t)
	}
	panic("no schema for " + t.String())
}

func (p *planTypes) structOf(t reflect.Type) object {
	name := t.Name()
	reference := object{"$ref": "#/$defs/" + name}
	if _, known := p.definitions[name]; known {
		return reference
	}
	p.definitions[name] = nil // it may hold one of its own kind
	properties, required := object{}, []any{}
	p.fields(t, properties, &required)
	p.definitions[name] = object{"type": "object", "properties": properties, "required": required,
		"additionalProperties": false}
	return reference
}

func (p *planTypes) fields(t reflect.Type, properties object, required *[]any) {
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case name == "-":
			continue
		case f.Anonymous && name == "":
			p.fields(f.Type, properties, required)
			continue
		case !f.IsExported():
			continue
		case name == "":
			name = f.Name
		}
		properties[name] = p.of(f.Type)
		if !strings.Contains(options, "omit") {
			*required = append(*required, name)
		}
	}
}

func planSchema() object {
	types := planTypes{object{}}
	s := types.of(reflect.TypeFor[plan.Plan]())
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "Plan"
	s["description"] = "What to build, as pegpour plan writes it. Lengths in mm, areas mm², volumes mm³, forces N, stresses MPa, pressures of wind and ground Pa, masses kg, angles rad. x is the chainage from the inner face of the latch post, y the offset into the property from the back of the posts."
	s["$defs"] = types.definitions
	return s
}

// TestPlanSchemaIsCurrent: the file is what today's types give. After a change of those
// run go test ./storage -run Schema -update.
func TestPlanSchemaIsCurrent(t *testing.T) {
	want, err := json.MarshalIndent(planSchema(), "", " ")
	require.NoError(t, err)
	want = append(want, '\n')
	if *update {
		require.NoError(t, os.WriteFile(planSchemaFile, want, 0o644))
	}
	got, err := os.ReadFile(planSchemaFile)
	require.NoError(t, err)
	require.True(t, bytes.Equal(want, got), "run go test ./storage -run Schema -update")
}

// Every plan is as its schema says, and holds nothing that the schema does not name; what
// is spoiled is refused.
func TestPlanSchemaTakesOurPlans(t *testing.T) {
	data, err := os.ReadFile(planSchemaFile)
	require.NoError(t, err)
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	require.NoError(t, err)
	compiler := jsonschema.NewCompiler()
	require.NoError(t, compiler.AddResource("plan.schema.json", v))
	schema, err := compiler.Compile("plan.schema.json")
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(4, 2))
	spoiled := 0
	for _, s := range enginetest.RandomSites(60) {
		made, _ := engine.Design(s, practice.DefaultPractice())
		encoded, err := json.Marshal(made)
		require.NoError(t, err)
		require.NoError(t, validate(t, schema, encoded))
		var loose object
		require.NoError(t, json.Unmarshal(encoded, &loose))
		for name := range loose {
			if r.IntN(4) > 0 {
				continue
			}
			was := loose[name]
			loose[name] = "spoiled " + name
			if _, isText := was.(string); isText {
				loose[name] = 7
			}
			bad, err := json.Marshal(loose)
			require.NoError(t, err)
			assert.Error(t, validate(t, schema, bad), name)
			loose[name], spoiled = was, spoiled+1
		}
		loose["more"] = 1
		bad, err := json.Marshal(loose)
		require.NoError(t, err)
		assert.Error(t, validate(t, schema, bad))
	}
	assert.Greater(t, spoiled, 50)
}
