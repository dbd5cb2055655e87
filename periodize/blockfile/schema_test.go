package blockfile_test

import (
	"bytes"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v3"

	"github.com/blockwright/blockwright/periodize/blockfile"
)

// The checked-in schemas and field reference are those that the tables make.
func TestGeneratedFilesAreFresh(t *testing.T) {
	var fields bytes.Buffer
	for i, kind := range blockfile.Kinds() {
		schema, err := blockfile.Schema(kind)
		if err != nil {
			t.Fatal(err)
		}
		same(t, "schema/"+kind+".json", schema)
		ref, err := blockfile.Reference(kind)
		if err != nil {
			t.Fatal(err)
		}
		if i > 0 {
			fields.WriteByte('\n')
		}
		fields.Write(ref)
	}
	same(t, "FIELDS.md", fields.Bytes())
}

// TestSamples: the small files at the head of the reference are files.
func TestSamples(t *testing.T) {
	for _, kind := range blockfile.Kinds() {
		page, err := blockfile.Reference(kind)
		if err != nil {
			t.Fatal(err)
		}
		_, rest, _ := strings.Cut(string(page), "```yaml\n")
		sample, _, ok := strings.Cut(rest, "```")
		if !ok || sample == "" {
			t.Errorf("the reference of %s has no sample", kind)
			continue
		}
		in := strings.NewReader(sample)
		switch kind {
		case "block":
			_, err = blockfile.ReadBlock(kind, in)
		case "roster":
			_, err = blockfile.ReadRoster(kind, in)
		case "brief":
			_, err = blockfile.ReadBrief(kind, in)
		}
		if err != nil {
			t.Errorf("the sample of %s: %v", kind, err)
		}
	}
}

func same(t *testing.T, name string, fresh []byte) {
	t.Helper()
	old, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(old, fresh) {
		t.Errorf("%s is not what the tables make: run go generate", name)
	}
}

func TestUnknownKind(t *testing.T) {
	for _, f := range []func(string) ([]byte, error){blockfile.Schema, blockfile.Reference} {
		if _, err := f("rooster"); err == nil || !strings.HasSuffix(err.Error(), `did you mean "roster"?`) {
			t.Errorf("got %v", err)
		}
	}
}

func compile(t testing.TB, kind string) *jsonschema.Schema {
	t.Helper()
	data, err := blockfile.Schema(kind)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource(kind+".json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile(kind + ".json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// document is a YAML text as the JSON document that a schema is held against,
// by the core schema of YAML 1.2.
func document(t interface {
	Helper()
	Fatal(...any)
}, text string) any {
	t.Helper()
	var n yaml.Node
	if err := yaml.Unmarshal([]byte(strings.Replace(text, "%YAML", "#YAML", 1)), &n); err != nil {
		t.Fatal(err)
	}
	if len(n.Content) == 0 {
		return nil
	}
	return toJSON(n.Content[0])
}

func toJSON(n *yaml.Node) any {
	switch n.Kind {
	case yaml.AliasNode:
		return toJSON(n.Alias)
	case yaml.MappingNode:
		m := map[string]any{}
		for i := 0; i < len(n.Content); i += 2 {
			m[n.Content[i].Value] = toJSON(n.Content[i+1])
		}
		return m
	case yaml.SequenceNode:
		s := []any{}
		for _, c := range n.Content {
			s = append(s, toJSON(c))
		}
		return s
	}
	if n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0 {
		return n.Value
	}
	switch n.Value {
	case "", "~", "null":
		return nil
	case "true", "True":
		return true
	case "false":
		return false
	}
	number := strings.TrimPrefix(n.Value, "+")
	if json.Valid([]byte(number)) {
		return json.Number(number)
	}
	return n.Value
}

func TestSchemaTakesGoodFiles(t *testing.T) {
	for _, kind := range blockfile.Kinds() {
		s := compile(t, kind)
		for _, name := range goodFiles(t, kind) {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if err := s.Validate(document(t, string(data))); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
}

// beyondSchema are the wrong files that no schema can tell: names that do not
// resolve, numbers that depend on others, and what JSON has no notion of.
var beyondSchema = []string{
	"sets with an exponent",
	"a track that is too short",
	"a crest beyond the block",
	"no weight for a loaded lift",
	"a percentage for a lift without a weight",
	"a load for a lift without a weight",
	"back-offs for a lift without a weight",
	"a work-up for a lift without a weight",
	"a reserve of seconds",
	"every set a drop",
	"final weeks beyond the block",
	"a final set of seconds",
	"a range that runs down",
	"a spread around a load",
	"rir_of without a reserve",
	"a rest that is too long",
	"a tempo of nothing",
	"a bare mass without units",
	"a mass over the bounds",
	"a control character in quotes",
	"a title that turns the line around",
	"a title that ends in a joiner",
	"a lifter's name with a space that has no width",
	"a lifter's name that cannot be seen",
	"a terminal's sequence in a lifter's name",
	"a focus that is no lift",
	"an item of no lift of the block",
	"a lift given twice",
	"a key given twice",
	"a region that does not follow from the pattern",
	"a share of an unknown maximum",
	"a maximum that is a share of itself",
	"two sessions of one name in a week",
	"session weeks beyond the block",
	"a deload that cuts nothing",
	"a test day without a focus",
	"lifts of a test day that are none of the block",
	"a second document",
	"a tag of a program",
	"a bar of nothing",
	"a bar called none",
	"a plate given twice",
	"a station that runs down",
	"a station of too many weights",
	"a station out of order",
	"a station called as a bar",
	"a test day before the start",
	"two lifters of one name",
	"a lifter's gym where there is one",
	"a gym that is misspelt",
	"a bodyweight in the wrong unit",
	"an interval the wrong way round",
	"a maximum outside its interval",
	"a swap by itself",
	"a lift of a brief that there is not",
	"a lift that is to be kept and avoided",
	"a focus that is to be avoided",
	"bounds that run down",
	"an overreach beyond the weeks",
	"a reserve that runs down",
	"a bare mass in a brief without units",
}

// The schema refuses every wrong file that a schema can tell from a good one.
func TestSchemaRefusesWrongFiles(t *testing.T) {
	schemas := map[string]*jsonschema.Schema{}
	for _, kind := range blockfile.Kinds() {
		schemas[kind] = compile(t, kind)
	}
	for _, c := range readWrong(t, "testdata/wrong.txt") {
		text := c.text(t)
		var n yaml.Node
		if err := yaml.Unmarshal([]byte(text), &n); err != nil || len(n.Content) == 0 {
			continue // not YAML, or nothing
		}
		if strings.Contains(strings.Join(c.want, "\n"), "alias") {
			continue // no JSON document
		}
		err := schemas[c.kind].Validate(toJSON(n.Content[0]))
		switch beyond := slices.Contains(beyondSchema, c.name); {
		case err == nil && !beyond:
			t.Errorf("%s: the schema takes it", c.name)
		case err != nil && beyond:
			t.Errorf("%s: the schema refuses it after all", c.name)
		}
	}
}
