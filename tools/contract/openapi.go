package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/google/jsonschema-go/jsonschema"

	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/internal/web"
)

// openAPIFile is the description, for people to read and for the program to serve.
const openAPIFile = "api/openapi.json"

// APIDefinitions returns the schema of every type of the API by its name: those
// of the contract, and those that only travel over HTTP.
func APIDefinitions(root string) (map[string]*jsonschema.Schema, *maker, error) {
	var more []reflect.Type
	for _, o := range web.Operations() {
		values := []any{o.Takes, o.Gives}
		for _, name := range slices.Sorted(maps.Keys(o.Events)) {
			values = append(values, o.Events[name])
		}
		for _, value := range values {
			if value != nil {
				more = append(more, reflect.TypeOf(value))
			}
		}
	}
	return definitions(root, append(more, reflect.TypeFor[api.Problem]()))
}

// OpenAPI returns the description of the API as an OpenAPI 3.1 document.
func OpenAPI(root string) ([]byte, error) {
	schemas, m, err := APIDefinitions(root)
	if err != nil {
		return nil, err
	}
	paths := map[string]map[string]any{}
	for _, o := range web.Operations() {
		operation, err := m.operation(o)
		if err != nil {
			return nil, fmt.Errorf("%s %s: %w", o.Method, o.Path, err)
		}
		if paths[o.Path] == nil {
			paths[o.Path] = map[string]any{}
		}
		paths[o.Path][strings.ToLower(o.Method)] = operation
	}
	text, err := json.MarshalIndent(map[string]any{
		"openapi":           "3.1.0",
		"jsonSchemaDialect": draft,
		"info": map[string]any{
			"title": "Whistlestop, the bench", "version": "1",
			"description": "What screens, seats and other programs say to the bench. The computer that the program runs on is the bench " +
				"itself; a device becomes a seat by an invite and a person's approval, and carries the cookie whistlestop_seat, over TLS __Host-whistlestop_seat. " +
				"Made from the Go types by tools/contract; do not edit.",
			"license": map[string]any{"name": "Apache License 2.0", "identifier": "Apache-2.0"},
		},
		"servers": []any{map[string]any{"url": "/", "description": "the bench itself"}},
		"paths":   paths,
		"components": map[string]any{
			"schemas": schemas,
			"securitySchemes": map[string]any{
				"seat": map[string]any{"type": "apiKey", "in": "cookie", "name": "whistlestop_seat"},
			},
		},
	}, "", "  ")
	if err != nil {
		return nil, err
	}
	text = bytes.ReplaceAll(text, []byte(`"`+prefix), []byte(`"#/components/schemas/`))
	return append(text, '\n'), nil
}

// operation is one path and method of the document.
func (m *maker) operation(o api.Operation) (map[string]any, error) {
	usual, err := m.content(o.Gives, o.GivesMedia, o)
	if err != nil {
		return nil, err
	}
	responses := map[string]any{
		strconv.Itoa(o.Usual()): map[string]any{"description": "The usual answer.", "content": usual},
		"default": map[string]any{
			"description": "A problem (RFC 9457), in words for people.",
			"content":     map[string]any{"application/problem+json": map[string]any{"schema": reference("Problem")}},
		},
	}
	for status, about := range o.Also {
		responses[strconv.Itoa(status)] = map[string]any{"description": about}
	}
	operation := map[string]any{
		"summary": o.About, "description": "Who may ask: " + whoMay(o) + ".", "operationId": operationID(o), "responses": responses,
	}
	if parameters := parametersOf(o); len(parameters) > 0 {
		operation["parameters"] = parameters
	}
	if o.Takes != nil || o.TakesMedia != "" {
		content, err := m.content(o.Takes, o.TakesMedia, o)
		if err != nil {
			return nil, err
		}
		operation["requestBody"] = map[string]any{"required": true, "content": content}
	}
	if o.Who == api.GameSeats || o.Who == api.AnySeat {
		operation["security"] = []any{map[string]any{"seat": []any{}}, map[string]any{}}
	}
	return operation, nil
}

// who says in words who may ask.
var who = map[api.Access]string{
	api.Anyone: "anybody", api.GameSeats: "the bench and the seats of the game",
	api.AnySeat: "the bench and every seat", api.BenchOnly: "the bench: the computer that the program runs on",
}

// whoMay says in words who may ask for an operation.
func whoMay(o api.Operation) string {
	readers := bench.Readers(o.Reading)
	if len(readers) == 0 {
		return who[o.Who]
	}
	names := make([]string, len(readers))
	for i, seat := range readers {
		names[i] = string(seat)
	}
	return who[o.Who] + ", of these " + strings.Join(names, ", ")
}

// content is a body: JSON of a type, or bytes of a media type. What a stream
// says stands beside it, because OpenAPI 3.1 has no word for events.
func (m *maker) content(value any, media string, o api.Operation) (map[string]any, error) {
	if media == "" {
		schema, err := m.schemaOf(value)
		return map[string]any{"application/json": map[string]any{"schema": schema}}, err
	}
	body := map[string]any{"schema": &jsonschema.Schema{Type: "string"}}
	if len(o.Events) > 0 {
		events := map[string]any{}
		for name, data := range o.Events {
			schema, err := m.schemaOf(data)
			if err != nil {
				return nil, err
			}
			events[name] = schema
		}
		body["x-events"] = events
	}
	return map[string]any{media: body}, nil
}

// schemaOf refers to the definition of a value's type, or writes a small one
// out.
func (m *maker) schemaOf(value any) (*jsonschema.Schema, error) {
	t := reflect.TypeOf(value)
	if known := m.references[t]; known != nil {
		return known, nil
	}
	if t.Kind() == reflect.Map || t.Kind() == reflect.Struct && t.NumField() == 0 {
		return &jsonschema.Schema{Type: "object"}, nil
	}
	return nil, fmt.Errorf("%s has no definition", t)
}

// operationID names an operation after its method and its path.
func operationID(o api.Operation) string {
	id := strings.ToLower(o.Method)
	for part := range strings.FieldsFuncSeq(o.Path, func(r rune) bool { return strings.ContainsRune("/{}._", r) }) {
		if part != "api" {
			id += strings.ToUpper(part[:1]) + part[1:]
		}
	}
	return id
}

func parametersOf(o api.Operation) []any {
	var list []any
	for part := range strings.SplitSeq(o.Path, "/") {
		if name, found := strings.CutPrefix(part, "{"); found {
			list = append(list, map[string]any{
				"name": strings.TrimSuffix(name, "}"), "in": "path", "required": true,
				"schema": &jsonschema.Schema{Type: "string"},
			})
		}
	}
	for _, q := range o.Query {
		schema := &jsonschema.Schema{Type: "string"}
		for _, value := range q.Values {
			schema.Enum = append(schema.Enum, value)
		}
		list = append(list, map[string]any{"name": q.Name, "in": "query", "description": q.About, "schema": schema})
	}
	return list
}
