package blockfile

import (
	"fmt"
	"slices"
	"strings"
)

// Reference is the field reference of a kind of file in Markdown, made from
// the tables that files are checked by.
func Reference(kind string) ([]byte, error) {
	o, ok := fileSchemas()[kind]
	if !ok {
		return nil, fmt.Errorf("blockfile: there is no file of kind %q: %s", kind, nearest(kind, Kinds()))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# The %s file\n\n%s\n\n", kind, o.text("description"))
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
		case !isTrack:
			fmt.Fprintf(&b, "- **%s**: %s\n", d.key, def.text("description"))
		default:
			if !said {
				fmt.Fprintf(&b, "- **track**: %s\n", def.text("description"))
				said = true
			}
			fmt.Fprintf(&b, "- **%s**: a track of %s\n", d.key, form(forms[0]))
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
			if names, ok := o.get("propertyNames").(object); ok && names.get("enum") != nil {
				return "mapping from " + form(names) + " to " + form(v)
			}
			return "mapping to " + form(v)
		}
		return "mapping"
	case "string":
		if o.text("format") == "date" {
			return "date"
		}
		switch p := o.text("pattern"); {
		case strings.HasPrefix(p, `^\S`), p == `\S`:
			return "text"
		case p != "":
			return "text `" + p + "`"
		}
		return "text"
	}
	if c := o.get("const"); c != nil {
		return fmt.Sprint(c)
	}
	return "value"
}
