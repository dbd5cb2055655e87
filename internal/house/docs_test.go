package house

import (
	"encoding/json"
	"go/ast"
	"go/doc"
	"go/doc/comment"
	"go/parser"
	"go/token"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// documented reads a package as go doc does, with its examples.
func documented(t *testing.T, path string) *doc.Package {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=Dir,GoFiles,TestGoFiles,XTestGoFiles", path)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list %s: %v", path, err)
	}
	var list struct {
		Dir                                string
		GoFiles, TestGoFiles, XTestGoFiles []string
	}
	if err := json.Unmarshal(out, &list); err != nil {
		t.Fatal(err)
	}
	fset := token.NewFileSet()
	var files []*ast.File
	for _, names := range [][]string{list.GoFiles, list.TestGoFiles, list.XTestGoFiles} {
		for _, name := range names {
			f, err := parser.ParseFile(fset, filepath.Join(list.Dir, name), nil, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
	}
	pkg, err := doc.NewFromFiles(fset, files, path)
	if err != nil {
		t.Fatal(err)
	}
	return pkg
}

// TestEverythingIsDocumented: every public package says what it is for and
// shows it in an example that runs, and every exported identifier of it has a
// comment. A comment over a group speaks for the group. Of fields, those that
// hold bare numbers, yes or no, and bare text need one, since a number has a
// unit and a range; the others say by their type what they are.
func TestEverythingIsDocumented(t *testing.T) {
	for _, path := range publicPackages(t) {
		pkg := documented(t, path)
		missing := func(name string) { t.Errorf("%s: %s has no doc comment", short(path), name) }
		if pkg.Doc == "" {
			missing("the package")
		}
		examples := len(pkg.Examples)
		values := func(list []*doc.Value) {
			for _, v := range list {
				for _, s := range v.Decl.Specs {
					s := s.(*ast.ValueSpec)
					if v.Doc == "" && s.Doc == nil && s.Comment == nil {
						missing(s.Names[0].Name)
					}
				}
			}
		}
		funcs := func(list []*doc.Func) {
			for _, f := range list {
				examples += len(f.Examples)
				// What these three return needs no words.
				if f.Recv != "" && (f.Name == "Error" || f.Name == "String" || f.Name == "Unwrap") {
					continue
				}
				if f.Doc == "" {
					missing(strings.TrimPrefix(f.Recv+"."+f.Name, "."))
				}
			}
		}
		values(pkg.Consts)
		values(pkg.Vars)
		funcs(pkg.Funcs)
		for _, typ := range pkg.Types {
			examples += len(typ.Examples)
			if typ.Doc == "" {
				missing(typ.Name)
			}
			values(typ.Consts)
			values(typ.Vars)
			funcs(typ.Funcs)
			funcs(typ.Methods)
			fields(typ, missing)
		}
		if examples == 0 && path != module {
			t.Errorf("%s has no example", short(path))
		}
	}
}

// TestPackageCommentsNameWhatThereIs: what the comments of packages, types and
// functions name in square brackets, or as package.Name, exists.
func TestPackageCommentsNameWhatThereIs(t *testing.T) {
	exported := map[string]bool{} // "plates.Mass", "plates.Mass.Text"
	var pkgs []*doc.Package
	for _, path := range publicPackages(t) {
		pkg := documented(t, path)
		pkgs = append(pkgs, pkg)
		for _, name := range identifiers(pkg) {
			exported[pkg.Name+"."+name] = true
		}
	}
	qualified := regexp.MustCompile(`\b([a-z]+)\.([A-Z]\w*)`)
	unresolved := regexp.MustCompile(`\[\*?[A-Z]\w*(\.\w+)?\]`)
	for _, pkg := range pkgs {
		check := func(at, text string) {
			for _, m := range qualified.FindAllStringSubmatch(text, -1) {
				if slices.ContainsFunc(pkgs, func(p *doc.Package) bool { return p.Name == m[1] }) && !exported[m[0]] {
					t.Errorf("%s: the comment of %s names %s, which is not there", short(pkg.ImportPath), at, m[0])
				}
			}
			for _, p := range paragraphs(pkg.Parser().Parse(text).Content) {
				for _, x := range p.Text {
					// A link that resolves is no plain text any more.
					if plain, ok := x.(comment.Plain); ok {
						for _, m := range unresolved.FindAllString(string(plain), -1) {
							t.Errorf("%s: the comment of %s links to %s, which is not there", short(pkg.ImportPath), at, m)
						}
					}
				}
			}
		}
		check("the package", pkg.Doc)
		for _, f := range pkg.Funcs {
			check(f.Name, f.Doc)
		}
		for _, typ := range pkg.Types {
			check(typ.Name, typ.Doc)
			for _, f := range append(typ.Funcs, typ.Methods...) {
				check(typ.Name+"."+f.Name, f.Doc)
			}
		}
	}
}

// paragraphs lists the paragraphs of a comment, those of lists with them.
func paragraphs(blocks []comment.Block) []*comment.Paragraph {
	var out []*comment.Paragraph
	for _, b := range blocks {
		switch b := b.(type) {
		case *comment.Paragraph:
			out = append(out, b)
		case *comment.List:
			for _, item := range b.Items {
				out = append(out, paragraphs(item.Content)...)
			}
		}
	}
	return out
}

// identifiers lists what a package exports: names, and methods and fields
// behind the name of their type.
func identifiers(pkg *doc.Package) []string {
	var out []string
	values := func(list []*doc.Value) {
		for _, v := range list {
			out = append(out, v.Names...)
		}
	}
	values(pkg.Consts)
	values(pkg.Vars)
	for _, f := range pkg.Funcs {
		out = append(out, f.Name)
	}
	for _, typ := range pkg.Types {
		out = append(out, typ.Name)
		values(typ.Consts)
		values(typ.Vars)
		for _, f := range typ.Funcs {
			out = append(out, f.Name)
		}
		for _, f := range typ.Methods {
			out = append(out, typ.Name+"."+f.Name)
		}
		for _, s := range typ.Decl.Specs {
			if x, ok := s.(*ast.TypeSpec).Type.(*ast.StructType); ok {
				for _, f := range x.Fields.List {
					for _, n := range f.Names {
						if n.IsExported() {
							out = append(out, typ.Name+"."+n.Name)
						}
					}
				}
			}
		}
	}
	return out
}

// fields looks for methods of an interface, and for fields of a struct that
// hold a basic type or several, that nothing is said about: no comment at them,
// and no mention in the comments of the type or of other fields.
func fields(typ *doc.Type, missing func(string)) {
	for _, s := range typ.Decl.Specs {
		var list []*ast.Field
		anyType := false
		switch x := s.(*ast.TypeSpec).Type.(type) {
		case *ast.StructType:
			list = x.Fields.List
		case *ast.InterfaceType:
			list, anyType = x.Methods.List, true
		}
		said := typ.Doc
		for _, f := range list {
			said += " " + f.Doc.Text() + " " + f.Comment.Text()
		}
		words := strings.FieldsFunc(said, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
		for _, f := range list {
			if f.Doc != nil || f.Comment != nil || !anyType && !basic(f.Type) {
				continue
			}
			for _, n := range f.Names {
				if n.IsExported() && !slices.Contains(words, n.Name) {
					missing(typ.Name + "." + n.Name)
				}
			}
		}
	}
}

func basic(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.StarExpr:
		return basic(e.X)
	case *ast.ArrayType:
		return basic(e.Elt)
	case *ast.Ident:
		switch e.Name {
		case "bool", "int", "int64", "int32", "uint8", "uint32", "uint64", "float64":
			return true
		}
	}
	return false
}
