package blockfile

import (
	"fmt"
	"slices"
	"strings"
)

// samples are small files that are read by a test.
var samples = map[string]string{
	"block": `block: Two weeks of rows
weeks: 2
lifts:
  row: {pattern: pull-horizontal, uses: bar, muscles: {back: 1, biceps: 0.5}}
  plank: {pattern: trunk, region: trunk, uses: none}
sessions:
  - name: Monday
    work:
      - {lift: row, sets: [3, 4], reps: 8, percent: {from: 65, to: 70}, rest: 2m}
      - {lift: plank, role: accessory, sets: 2, seconds: 30}
`,
	"roster": `gym:
  units: kg
  bars: {bar: 20}
  plates: {20: 2, 10: 2, 5: 2, 2.5: 2, 1.25: 2}
start: 2027-09-06
lifters:
  - name: Iris
    maxes: {row: {load: 50, reps: 6, rir: 2}}
`,
	"brief": `brief: Two evenings of rows
weeks: 5
days: [tue, fri]
minutes: 60
focus: [row]
lifts:
  row: {pattern: pull-horizontal, uses: bar, muscles: {back: 1, biceps: 0.5}}
  split squat: {pattern: lunge, uses: none, muscles: {quads: 1}}
`,
}

// Reference is the field reference of a kind of file in Markdown, made from
// the tables that files are checked by.
func Reference(kind string) ([]byte, error) {
	o, ok := fileSchemas()[kind]
	if !ok {
		return nil, fmt.Errorf("blockfile: there is no file of kind %q: %s", kind, nearest(kind, Kinds()))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# The %s file\n\n%s A small one:\n\n```yaml\n%s```\n\n", kind, o.text("description"), samples[kind])
	b.WriteString(o.table())
	for _, d := range o.get("$defs").(object) {
		def := d.value.(object)
		if len(def.properties()) == 0 || strings.HasSuffix(d.key, " track") {
			continue
		}
		fmt.Fprintf(&b, "\n## %s\n\n%s\n\n%s", d.key, def.text("description"), def.table())
	}
	b.WriteString("\n## Forms of value\n\n")
	said := false
	for _, d := range o.get("$defs").(object) {
		def := d.value.(object)
		forms, _ := def.get("anyOf").([]object)
		switch isTrack := strings.HasSuffix(d.key, " track"); {
		case len(def.properties()) > 0:
		case def.get("enum") != nil:
			fmt.Fprintf(&b, "- **%s**: %s\n", d.key, form(def))
		case !isTrack:
			fmt.Fprintf(&b, "- **%s**: %s\n", d.key, def.text("description"))
		default:
			if !said {
				fmt.Fprintf(&b, "- **track**: %s\n", def.text("description"))
				said = true
			}
			fmt.Fprintf(&b, "- **%s**: a track whose values are each %s\n", d.key, form(forms[0]))
		}
	}
	return []byte(b.String()), nil
}

func (o object) get(key string) any {
	for _, m := range o {
		if m.key == key {
			return m.value
		}
	}
	return nil
}

func (o object) text(key string) string {
	s, _ := o.get(key).(string)
	return s
}

func (o object) properties() object {
	p, _ := o.get("properties").(object)
	return p
}

// table is the fields of a record as a Markdown table.
func (o object) table() string {
	var b strings.Builder
	must, _ := o.get("required").([]string)
	b.WriteString("| key | value | meaning |\n| --- | --- | --- |\n")
	for _, p := range o.properties() {
		f := p.value.(object)
		key := "`" + p.key + "`"
		if slices.Contains(must, p.key) {
			key += " (required)"
		}
		fmt.Fprintf(&b, "| %s | %s | %s |\n", key, strings.ReplaceAll(form(f), "|", `\|`), f.text("description"))
	}
	return b.String()
}

// form is a schema in words.
func form(o object) string {
	if ref := o.text("$ref"); ref != "" {
		return strings.ReplaceAll(strings.TrimPrefix(ref, "#/$defs/"), "%20", " ")
	}
	for _, key := range []string{"oneOf", "anyOf"} {
		if list, ok := o.get(key).([]object); ok {
			var s []string
			for _, x := range list {
				s = append(s, form(x))
			}
			return strings.Join(s, " or ")
		}
	}
	if e, ok := o.get("enum").([]string); ok {
		return strings.Join(e, ", ")
	}
	bounds := ""
	low, high := o.get("minimum"), o.get("maximum")
	if o.get("exclusiveMinimum") != nil {
		bounds = fmt.Sprintf(" above %v", o.get("exclusiveMinimum"))
		if high != nil {
			bounds += fmt.Sprintf(" up to %v", high)
		}
	} else if low != nil && high != nil {
		bounds = fmt.Sprintf(" from %v to %v", low, high)
	} else if low != nil {
		bounds = fmt.Sprintf(" of at least %v", low)
	}
	switch o.text("type") {
	case "integer":
		return "whole number" + bounds
	case "number":
		return "number" + bounds
	case "boolean":
		return "true or false"
	case "array":
		return "list of " + form(o.get("items").(object))
	case "object":
		if v, ok := o.get("additionalProperties").(object); ok {
			if names, ok := o.get("propertyNames").(object); ok && names.get("$ref") != nil {
				return "mapping from " + form(names) + " to " + form(v)
			}
			return "mapping to " + form(v)
		}
		return "mapping"
	case "string":
		what := "text"
		if o.text("format") == "date" {
			what = "date"
		}
		if such, ok := o.get("examples").([]string); ok {
			what += " such as `" + strings.Join(such, "` or `") + "`"
		}
		return what
	}
	if c := o.get("const"); c != nil {
		return fmt.Sprint(c)
	}
	return "value"
}
