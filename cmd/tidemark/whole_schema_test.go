package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"tidemark/web/api/wire"
)

// TestLogbookSchema holds a logbook with every noun against its own schema by a validator
// that is not ours, and spoils every value of it in turn: schema and reader must both refuse
// each.
func TestLogbookSchema(t *testing.T) {
	packed := filepath.Join(t.TempDir(), "a.zip")
	tidemark(t, "export", "--db", fullNessa(t), "--runner", "Nessa Vale", "--on", nessasDay, "-o", packed)
	zip := members(t, packed)
	schema := compiled(t, zip["schema.json"])
	whole := parsed(t, zip["logbook.json"])
	if err := schema.Validate(whole); err != nil {
		t.Fatalf("the logbook is not as its schema has it: %v", err)
	}
	doc := whole.(map[string]any)
	for name, value := range doc {
		if rows, ok := value.([]any); ok {
			if len(rows) == 0 {
				t.Errorf("%s is empty, so that nothing is tried of it", name)
			}
			doc[name] = rows[max(0, len(rows)-3):]
		}
	}
	tried := 0
	spoil(doc, "", func(path string) {
		tried++
		text, err := json.Marshal(doc)
		must(t, err)
		if schema.Validate(parsed(t, string(text))) == nil {
			t.Errorf("%s: the schema takes it", path)
		}
		if _, err := wire.ReadLogbook(text); err == nil {
			t.Errorf("%s: the reader takes it", path)
		}
	})
	if tried < 1000 {
		t.Errorf("only %d values were spoilt", tried)
	}
	text, err := json.Marshal(doc)
	must(t, err)
	if _, err := wire.ReadLogbook(text); err != nil {
		t.Errorf("as it was: %v", err)
	}
}

// spoil takes each field of an object and of those within it away, gives it a value that it
// cannot have, and adds one that there is not; it calls try each time, and undoes it.
func spoil(object map[string]any, path string, try func(path string)) {
	object["unheard"] = "of"
	try(path + ".unheard")
	delete(object, "unheard")
	for _, name := range slices.Sorted(maps.Keys(object)) {
		value, here := object[name], path+"."+name
		delete(object, name)
		try(here + " missing")
		object[name] = wrong(value)
		try(fmt.Sprintf("%s = %v", here, object[name]))
		object[name] = value
		switch value := value.(type) {
		case map[string]any:
			spoil(value, here, try)
		case []any:
			for i, one := range value {
				if row, ok := one.(map[string]any); ok {
					spoil(row, fmt.Sprintf("%s[%d]", here, i), try)
				}
			}
		}
	}
}

// wrong is a value of another kind.
func wrong(value any) any {
	if _, ok := value.(string); ok {
		return 0.5
	}
	return map[string]any{}
}

func compiled(t *testing.T, text string) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	must(t, c.AddResource("urn:tidemark:logbook:1", parsed(t, text)))
	schema, err := c.Compile("urn:tidemark:logbook:1")
	must(t, err)
	if schema.DraftVersion != 2020 {
		t.Errorf("the schema is of draft %d", schema.DraftVersion)
	}
	return schema
}

func parsed(t *testing.T, text string) any {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader([]byte(text)))
	must(t, err)
	return v
}
