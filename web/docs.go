package web

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// docsPage is the interface for programs, from its own description. It loads nothing from
// elsewhere.
type docsPage struct {
	page
	About    string
	Document string
	Calls    []callLine
	Base     string // for examples
}

// callLine is one call.
type callLine struct {
	ID, Method, Path, Summary, Text string
	Takes                           []fieldLine // in the address
	Sends                           []fieldLine // in the body
	Raw                             string      // what else is sent
	Answers                         []fieldLine
	Example                         string
}

// fieldLine is one field of a call.
type fieldLine struct{ Name, Type, Text string }

func (s *Server) docs(w http.ResponseWriter, r *http.Request) error {
	out := docsPage{page: s.page(r, "For other programs"), About: s.description.Info.Description, Document: "/api/openapi.json", Base: s.absolute("", r)}
	paths := make([]string, 0, len(s.description.Paths))
	for path := range s.description.Paths {
		paths = append(paths, path)
	}
	slices.Sort(paths)
	for _, path := range paths {
		item := s.description.Paths[path]
		for _, op := range []*huma.Operation{item.Get, item.Post} {
			if op != nil {
				out.Calls = append(out.Calls, s.callLine(op, out.Base))
			}
		}
	}
	return s.render(w, http.StatusOK, "docs", out)
}

func (s *Server) callLine(op *huma.Operation, base string) callLine {
	c := callLine{ID: op.OperationID, Method: op.Method, Path: op.Path, Summary: op.Summary, Text: op.Description}
	for _, p := range op.Parameters {
		text := p.Description
		if p.In == "path" {
			text = "in the path. " + text
		}
		if p.Required && p.In != "path" {
			text = "needed. " + text
		}
		c.Takes = append(c.Takes, fieldLine{p.Name, typeWords(p.Schema), strings.TrimSpace(text)})
	}
	if op.RequestBody != nil {
		for kind, media := range op.RequestBody.Content {
			if kind != "application/json" {
				c.Raw = kind
				continue
			}
			c.Sends = s.fields(media.Schema)
		}
	}
	if answer := op.Responses["200"]; answer != nil {
		if media := answer.Content["application/json"]; media != nil {
			c.Answers = s.fields(media.Schema)
		}
	}
	c.Example = example(op, base)
	return c
}

// fields are those of an object, or of the objects of a list.
func (s *Server) fields(schema *huma.Schema) (lines []fieldLine) {
	schema = s.resolved(schema)
	if schema != nil && schema.Items != nil {
		schema = s.resolved(schema.Items)
	}
	if schema == nil {
		return nil
	}
	names := make([]string, 0, len(schema.Properties))
	for name := range schema.Properties {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		p := schema.Properties[name]
		lines = append(lines, fieldLine{name, typeWords(p), p.Description})
	}
	return lines
}

func (s *Server) resolved(schema *huma.Schema) *huma.Schema {
	if schema != nil && schema.Ref != "" {
		return s.description.Components.Schemas.SchemaFromRef(schema.Ref)
	}
	return schema
}

// typeWords says what a value is.
func typeWords(schema *huma.Schema) string {
	if schema == nil {
		return ""
	}
	if schema.Ref != "" {
		return schema.Ref[strings.LastIndex(schema.Ref, "/")+1:]
	}
	text := schema.Type
	switch {
	case schema.Type == "array" && schema.Items != nil:
		return "list of " + typeWords(schema.Items)
	case len(schema.Enum) > 0:
		var all []string
		for _, v := range schema.Enum {
			b, _ := json.Marshal(v) // of a struct tag
			all = append(all, strings.Trim(string(b), `"`))
		}
		text = strings.Join(all, ", ")
	case schema.Format != "":
		text += " (" + schema.Format + ")"
	}
	if schema.Nullable {
		text += " or null"
	}
	return text
}

// exampleBodies are what examples of calls send; a test sends them.
var exampleBodies = map[string]string{
	"add-morning":    `{"complaint": "ach-mid:left", "on": "2026-05-03", "next": 1, "stiffness": 5}`,
	"plan-race":      `{"day": "2026-06-07", "name": "Pier mile", "distance_km": 1.6}`,
	"answer-finding": `{"state": "seen"}`,
}

// exampleQueries are what follows the path in examples.
var exampleQueries = map[string]string{
	"what-if": "?amount=12&measure=distance", "load": "?measure=distance", "add-recording": "?name=evening.fit",
}

// example is a call as one types it in a shell.
func example(op *huma.Operation, base string) string {
	text := "curl -H 'Authorization: Bearer TOKEN'"
	if body, ok := exampleBodies[op.OperationID]; ok {
		text += " \\\n  -H 'Content-Type: application/json' -d '" + body + "'"
	}
	if op.OperationID == "add-recording" {
		text += " \\\n  -H 'Content-Type: application/octet-stream' --data-binary @evening.fit"
	}
	path := strings.NewReplacer("{runner}", "RUNNER", "{id}", "FINDING").Replace(op.Path)
	return text + " \\\n  '" + base + path + exampleQueries[op.OperationID] + "'"
}
