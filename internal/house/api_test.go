package house

import (
	"flag"
	"fmt"
	"go/importer"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "rewrite the files that record what the tree holds")

// apiFile records what programs outside this module can use. It changes on
// purpose or not at all: DEVELOPERS.md says how.
const apiFile = "testdata/api.txt"

// TestAPI compares the exported identifiers of every public package, with their
// signatures, with the record of them.
func TestAPI(t *testing.T) {
	got := strings.Join(exportedAPI(t), "\n") + "\n"
	checkFile(t, apiFile, got)
}

// checkFile compares a file with what it should hold, or rewrites it.
func checkFile(t *testing.T, path, want string) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(want), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	have, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if d := lineDiff(string(have), want); d != "" {
		t.Errorf("%s is out of date; if the change is meant, go test ./internal/house -update rewrites it (-file +tree):\n%s", filepath.ToSlash(path), d)
	}
}

// lineDiff lists the lines that are in one text alone, and "" for equal texts.
func lineDiff(have, want string) string {
	if have == want {
		return ""
	}
	var b strings.Builder
	for _, side := range []struct{ mark, in, notIn string }{{"-", have, want}, {"+", want, have}} {
		other := map[string]bool{}
		for line := range strings.Lines(side.notIn) {
			other[line] = true
		}
		for line := range strings.Lines(side.in) {
			if !other[line] {
				b.WriteString(side.mark + " " + strings.TrimRight(line, "\n") + "\n")
			}
		}
	}
	if b.Len() == 0 {
		return "the same lines in another order, or repeated"
	}
	return b.String()
}

// publicPackages lists the import paths of packages that others can import:
// neither commands, nor examples, nor anything internal.
func publicPackages(t *testing.T) []string {
	t.Helper()
	var out []string
	for path := range imports(t, "Imports") {
		dir := short(path) + "/"
		if !strings.HasPrefix(dir, "cmd/") && !strings.HasPrefix(dir, "examples/") && !strings.Contains("/"+dir, "/internal/") {
			out = append(out, path)
		}
	}
	slices.Sort(out)
	return out
}

// exportedAPI is one line for each exported constant, variable, function, type,
// method and field, read from what the compiler exports.
func exportedAPI(t *testing.T) []string {
	t.Helper()
	cmd := exec.Command("go", "list", "-export", "-deps", "-f", "{{.ImportPath}} {{.Export}}", module+"/...")
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	compiled := map[string]string{}
	for line := range strings.Lines(string(out)) {
		path, file, _ := strings.Cut(strings.TrimSpace(line), " ")
		compiled[path] = file
	}
	imp := importer.ForCompiler(token.NewFileSet(), "gc", func(path string) (io.ReadCloser, error) { return os.Open(compiled[path]) })
	var lines []string
	for _, path := range publicPackages(t) {
		pkg, err := imp.Import(path)
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		for _, name := range pkg.Scope().Names() {
			if obj := pkg.Scope().Lookup(name); obj.Exported() {
				lines = append(lines, describe(pkg, obj)...)
			}
		}
	}
	slices.Sort(lines)
	return lines
}

func describe(pkg *types.Package, obj types.Object) []string {
	at := short(pkg.Path()) + ", "
	names := func(p *types.Package) string {
		if p == pkg {
			return ""
		}
		return short(p.Path())
	}
	lines := []string{}
	add := func(format string, args ...any) { lines = append(lines, at+fmt.Sprintf(format, args...)) }
	switch obj := obj.(type) {
	case *types.Const:
		add("const %s %s = %s", obj.Name(), types.TypeString(obj.Type(), names), obj.Val())
	case *types.Var:
		add("var %s %s", obj.Name(), types.TypeString(obj.Type(), names))
	case *types.Func:
		add("%s", types.ObjectString(obj, names))
	case *types.TypeName:
		if obj.IsAlias() {
			add("%s", types.ObjectString(obj, names))
			break
		}
		named := obj.Type().(*types.Named)
		typ := "type " + strings.TrimPrefix(types.TypeString(named, names), ".")
		switch u := named.Underlying().(type) {
		case *types.Struct:
			add("%s struct", typ)
			for f := range u.Fields() {
				if f.Exported() {
					add("%s struct, %s", typ, strings.TrimPrefix(types.ObjectString(f, names), "field "))
				}
			}
		case *types.Interface:
			add("%s interface", typ)
			for m := range u.ExplicitMethods() {
				if m.Exported() {
					add("%s interface, %s%s", typ, m.Name(), strings.TrimPrefix(types.TypeString(m.Signature(), names), "func"))
				} else {
					add("%s interface, unexported methods", typ)
				}
			}
			for e := range u.EmbeddedTypes() {
				add("%s interface, %s", typ, types.TypeString(e, names))
			}
		default:
			add("%s %s", typ, types.TypeString(u, names))
		}
		if types.IsInterface(named) {
			break
		}
		// All that can be called, those of embedded fields with them.
		value := types.NewMethodSet(named)
		for sel := range types.NewMethodSet(types.NewPointer(named)).Methods() {
			m := sel.Obj()
			if !m.Exported() {
				continue
			}
			recv := "*" + types.TypeString(named, names)
			if value.Lookup(m.Pkg(), m.Name()) != nil {
				recv = recv[1:]
			}
			add("method (%s) %s%s", recv, m.Name(), strings.TrimPrefix(types.TypeString(m.Type(), names), "func"))
		}
	}
	return lines
}
