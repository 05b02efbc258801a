package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"github.com/google/jsonschema-go/jsonschema"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

const (
	draft  = "https://json-schema.org/draft/2020-12/schema"
	prefix = "#/$defs/"
)

// Definitions returns the schema of every type of the contract by its name.
func Definitions(root string) (map[string]*jsonschema.Schema, error) {
	all, _, err := definitions(root, practiceRoots())
	return all, err
}

// definitions returns the schemas of the contract and of more types that travel.
func definitions(root string, more []reflect.Type) (map[string]*jsonschema.Schema, *maker, error) {
	source, err := readSource(root)
	if err != nil {
		return nil, nil, err
	}
	names, err := nameAll(more)
	if err != nil {
		return nil, nil, err
	}
	m := &maker{source: source, references: map[reflect.Type]*jsonschema.Schema{}}
	for t, name := range names {
		m.references[t] = reference(name)
	}
	m.references[reflect.TypeFor[json.RawMessage]()] = &jsonschema.Schema{} // anything
	m.references[reflect.TypeFor[entry.Body]()] = &jsonschema.Schema{}

	definitions := map[string]*jsonschema.Schema{}
	definitions["Args"] = &jsonschema.Schema{
		Type: "object", AdditionalProperties: &jsonschema.Schema{Type: "string"},
		Description: source.comments["message.Args"],
	}
	for t, name := range names {
		if byHand[t] {
			continue
		}
		if definitions[name], err = m.define(t); err != nil {
			return nil, nil, err
		}
	}
	for _, b := range bodies {
		t := reflect.TypeOf(b)
		if definitions[bodyName(b.Kind())], err = m.define(t); err != nil {
			return nil, nil, err
		}
	}
	definitions[bodyName(entry.KindAmended)] = amended(source)
	if err := m.lines(definitions); err != nil {
		return nil, nil, err
	}
	entries(definitions, source)
	return definitions, m, nil
}

// maker turns one Go type at a time into a schema that refers to the others.
type maker struct {
	source     *Source
	references map[reflect.Type]*jsonschema.Schema
}

func reference(name string) *jsonschema.Schema { return &jsonschema.Schema{Ref: prefix + name} }

// bodyName returns the contract's name of the body of a kind: GoalBody.
func bodyName(kind entry.Kind) string { return camel(string(kind)) + "Body" }

func camel(text string) string {
	var b strings.Builder
	for word := range strings.SplitSeq(text, "_") {
		b.WriteString(strings.ToUpper(word[:1]) + word[1:])
	}
	return b.String()
}

func (m *maker) define(t reflect.Type) (*jsonschema.Schema, error) {
	if t.Kind() == reflect.String {
		return m.defineString(t), nil
	}
	others := maps.Clone(m.references)
	delete(others, t)
	if t.Kind() == reflect.Struct {
		for field := range t.Fields() {
			if field.Anonymous { // its fields are the type's own
				delete(others, field.Type)
			}
		}
	}
	// Args are a list in Go and an object of strings in JSON.
	others[reflect.TypeFor[rules.Args]()] = &jsonschema.Schema{
		Type: "object", AdditionalProperties: &jsonschema.Schema{Type: "string"},
	}
	schema, err := jsonschema.ForType(t, &jsonschema.ForOptions{TypeSchemas: others})
	if err != nil {
		return nil, err
	}
	withoutNull(schema)
	if t == reflect.TypeFor[entry.GameOpened]() {
		schema.Properties["division"] = reference("Division")
	}
	if t == reflect.TypeFor[report.Document]() {
		schema.Properties["$schema"] = fixed(report.SchemaID)
		schema.Properties["version"] = &jsonschema.Schema{Type: "integer", Const: jsonschema.Ptr[any](report.Version)}
	}
	schema.Description = strings.Replace(m.source.comments[key(t)], t.Name()+" ", publicName(t)+" ", 1)
	if t.Kind() == reflect.Struct {
		for _, field := range reflect.VisibleFields(t) {
			name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
			if refers := field.Tag.Get("contract"); refers != "" {
				schema.Properties[name] = referring(field.Type, refers)
				continue
			}
			if never := bounded[key(t)+"."+field.Name]; never && schema.Properties[name] != nil {
				schema.Properties[name] = &jsonschema.Schema{
					Type: "integer", Minimum: jsonschema.Ptr(0.0), Description: m.source.comments[key(t)+"."+field.Name],
				}
				continue
			}
			// A description beside a reference would make the front end's
			// generator write a second copy of the type.
			if property := schema.Properties[name]; property != nil && property.Ref == "" {
				property.Description = m.source.comments[key(t)+"."+field.Name]
			}
		}
	}
	return schema, nil
}

// bounded are the times that are never below nought: how much of a period was
// played, or is left.
var bounded = map[string]bool{
	"entry.At.Elapsed": true, "report.Stamp.Elapsed": true, "report.Stamp.Left": true, "report.Stamp.Abs": true,
}

// referring is the schema of a field whose form a tag names: JSON that is handed
// on as it is, one of them or a list; or, with a question mark, a word of a
// closed set that may be empty.
func referring(t reflect.Type, name string) *jsonschema.Schema {
	if word, found := strings.CutSuffix(name, "?"); found {
		return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{reference(word), fixed("")}}
	}
	if t == reflect.TypeFor[json.RawMessage]() {
		return reference(name)
	}
	return &jsonschema.Schema{Type: "array", Items: reference(name)}
}

// defineString closes the set of a string type that has constants.
func (m *maker) defineString(t reflect.Type) *jsonschema.Schema {
	schema := &jsonschema.Schema{Type: "string", Description: m.source.comments[key(t)]}
	for _, c := range m.source.constants[key(t)] {
		schema.Enum = append(schema.Enum, c)
	}
	if t == reflect.TypeFor[entry.Jersey]() {
		schema.Pattern = "^[0-9]{0,2}$"
	}
	return schema
}

// withoutNull makes arrays of what the library writes as "null or array", and
// takes null from optional pointers. Whistlestop never sends null: a list
// without members is [], and what is absent is left out.
func withoutNull(schema *jsonschema.Schema) {
	if schema == nil {
		return
	}
	schema.Types = slices.DeleteFunc(schema.Types, func(s string) bool { return s == "null" || s == "" })
	if len(schema.Types) == 1 {
		schema.Type, schema.Types = schema.Types[0], nil
	}
	if len(schema.Types) == 0 {
		schema.Types = nil
	}
	withoutNull(schema.Items)
	withoutNull(schema.AdditionalProperties)
	for _, p := range schema.Properties {
		withoutNull(p)
	}
}

// amended is written by hand: an amendment carries the kind of the entry that
// it amends, and the body that takes its place.
func amended(source *Source) *jsonschema.Schema {
	union := &jsonschema.Schema{Description: source.comments["entry.Amended"]}
	for _, b := range bodies {
		if b.Kind() != entry.KindStruck {
			union.OneOf = append(union.OneOf, closed(kindAndBody(b.Kind())))
		}
	}
	return union
}

// lines defines Line as what every line has and a union by kind, so that the
// kind tells the body.
func (m *maker) lines(definitions map[string]*jsonschema.Schema) error {
	common, err := m.define(reflect.TypeFor[rules.Line]())
	if err != nil {
		return err
	}
	about := common.Description
	common.Description = "What every line has."
	common.AdditionalProperties = nil
	isUnion := func(name string) bool { return name == "kind" || name == "body" }
	for _, name := range []string{"kind", "body"} {
		delete(common.Properties, name)
	}
	common.PropertyOrder = slices.DeleteFunc(common.PropertyOrder, isUnion)
	common.Required = slices.DeleteFunc(common.Required, isUnion)
	definitions["LineCommon"] = common

	union := &jsonschema.Schema{}
	for _, kind := range entry.Kinds {
		union.OneOf = append(union.OneOf, kindAndBody(kind))
	}
	definitions["Line"] = both(about, "LineCommon", union)
	return nil
}

// entries defines the entry as it stands in a ledger: a CloudEvent, as a union
// by its type. A draft is the same without seq and prev.
func entries(definitions map[string]*jsonschema.Schema, source *Source) {
	definitions["EntryCommon"] = envelope()
	about := source.comments["entry.Entry"] +
		" It is written as a CloudEvent 1.0. A draft has no seq and no prev: the ledger gives them."
	definitions["Entry"] = both(about, "EntryCommon", unionOfKinds(func(kind entry.Kind) *jsonschema.Schema {
		return fixed(fmt.Sprintf("whistlestop.%s.v1", kind))
	}))
}

func unionOfKinds(name func(entry.Kind) *jsonschema.Schema) *jsonschema.Schema {
	union := &jsonschema.Schema{}
	for _, kind := range entry.Kinds {
		union.OneOf = append(union.OneOf, object([]string{"type", "data"}, map[string]*jsonschema.Schema{
			"type": name(kind),
			"data": closed(object([]string{"at", "body"}, map[string]*jsonschema.Schema{
				"at": reference("At"), "body": reference(bodyName(kind)),
			})),
		}))
	}
	return union
}

// envelope is what every entry has beside its type and its data.
func envelope() *jsonschema.Schema {
	text := func(about string) *jsonschema.Schema {
		return &jsonschema.Schema{Type: "string", Description: about}
	}
	id := text("ULID made where the entry was entered: the idempotency key")
	id.MinLength, id.MaxLength = jsonschema.Ptr(26), jsonschema.Ptr(26)
	source := text("/game/ and the id of the game")
	source.Pattern = "^/game/."
	when := text("the instant that was touched, UTC with milliseconds")
	when.Format = "date-time"
	prev := text("SHA-256 of the line before it, hexadecimal")
	prev.Pattern = "^[0-9a-f]{64}$"
	was := text("SHA-256 of the line that this one was put in place of, when texts about people were taken out of it")
	was.Pattern = prev.Pattern
	common := object([]string{"specversion", "id", "source", "time", "seq", "seat", "by", "of", "prev", "was"},
		map[string]*jsonschema.Schema{
			"specversion": fixed("1.0"),
			"id":          id,
			"source":      source,
			"time":        when,
			"seq":         {Type: "integer", Minimum: jsonschema.Ptr(1.0), Description: "place in the ledger from 1"},
			"seat":        reference("Seat"),
			"by":          text("who entered it, as the bench knows them"),
			"of":          text("the entry that it amends or strikes"),
			"prev":        prev,
			"was":         was,
		})
	common.Description = "What every entry has."
	common.Required = []string{"specversion", "id", "source", "time"}
	return common
}

func kindAndBody(kind entry.Kind) *jsonschema.Schema {
	return object([]string{"kind", "body"}, map[string]*jsonschema.Schema{
		"kind": fixed(string(kind)), "body": reference(bodyName(kind)),
	})
}

// object returns an object that has all the properties; others are allowed.
func object(order []string, properties map[string]*jsonschema.Schema) *jsonschema.Schema {
	return &jsonschema.Schema{Type: "object", Properties: properties, PropertyOrder: order, Required: order}
}

// closed forbids properties beyond those of the object.
func closed(schema *jsonschema.Schema) *jsonschema.Schema {
	schema.AdditionalProperties = nothing()
	return schema
}

// both joins what all have with the union that tells them apart, and forbids
// properties that neither names.
func both(about, common string, union *jsonschema.Schema) *jsonschema.Schema {
	return &jsonschema.Schema{
		Description:           about,
		Type:                  "object",
		AllOf:                 []*jsonschema.Schema{reference(common), union},
		UnevaluatedProperties: nothing(),
	}
}

func nothing() *jsonschema.Schema { return &jsonschema.Schema{Not: &jsonschema.Schema{}} }

func oneOf(values ...any) *jsonschema.Schema { return &jsonschema.Schema{Type: "string", Enum: values} }

func fixed(value string) *jsonschema.Schema {
	return &jsonschema.Schema{Type: "string", Const: jsonschema.Ptr[any](value)}
}

// Ledger returns the published schema of one line of a ledger: an entry of either
// version, or a text that lies beside one.
func Ledger(definitions map[string]*jsonschema.Schema) *jsonschema.Schema {
	all := maps.Clone(definitions)
	draft := definitions["Entry"]
	all["Entry"] = both(draft.Description+" In version 2 each text about a person is a commitment: # and the SHA-256 "+
		"of 32 random bytes and the text.", "EntryCommon", unionOfKinds(func(kind entry.Kind) *jsonschema.Schema {
		return oneOf(fmt.Sprintf("whistlestop.%s.v1", kind), fmt.Sprintf("whistlestop.%s.v2", kind))
	}))
	commitment := &jsonschema.Schema{Type: "string", Pattern: "^#[A-Za-z0-9_-]{43}$", Description: "what stands in the entry in place of the text"}
	all["Name"] = closed(object([]string{"specversion", "id", "source", "type", "data"}, map[string]*jsonschema.Schema{
		"specversion": fixed("1.0"), "id": commitment, "source": {Type: "string", Pattern: "^/game/."}, "type": fixed("whistlestop.name.v1"),
		"data": closed(object([]string{"random", "text"}, map[string]*jsonschema.Schema{
			"random": {Type: "string", Description: "32 bytes, base64 for addresses"}, "text": {Type: "string"},
		})),
	}))
	all["Name"].Description = "A text about a person that lies beside a ledger. It stands in no chain and may be deleted."
	all["LedgerLine"] = &jsonschema.Schema{OneOf: []*jsonschema.Schema{reference("Entry"), reference("Name")}}
	return published(all, "urn:whistlestop:schema:ledger:1", "LedgerLine", "Whistlestop ledger, one line",
		"A ledger is a file of JSON Lines: one entry a line, in the order of seq, and behind an entry the texts about people that lie beside it. "+
			"Each line is a CloudEvent 1.0 whose type tells the body. Made by tools/contract; do not edit.")
}

// Report returns the published schema of the report of a game.
func Report(definitions map[string]*jsonschema.Schema) *jsonschema.Schema {
	return published(definitions, report.SchemaID, "Report", "Whistlestop report of one game",
		"The official report as one JSON document: times are milliseconds, text is also given as the league writes it. "+
			"Made by tools/contract; do not edit.")
}

// published returns the schema of a type with the definitions that it reaches,
// and nothing else.
func published(definitions map[string]*jsonschema.Schema, id, name, title, description string) *jsonschema.Schema {
	reached := map[string]*jsonschema.Schema{}
	var reach func(*jsonschema.Schema)
	reach = func(schema *jsonschema.Schema) {
		if schema == nil {
			return
		}
		if name, found := strings.CutPrefix(schema.Ref, prefix); found && reached[name] == nil {
			reached[name] = definitions[name]
			reach(definitions[name])
		}
		reach(schema.Items)
		for _, p := range schema.Properties {
			reach(p)
		}
		for _, one := range slices.Concat(schema.OneOf, schema.AllOf) {
			reach(one)
		}
		reach(schema.AdditionalProperties)
	}
	reach(reference(name))
	return &jsonschema.Schema{ID: id, Schema: draft, Title: title, Description: description, Ref: prefix + name, Defs: reached}
}
