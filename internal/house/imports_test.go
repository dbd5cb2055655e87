package house

import (
	"bytes"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

const module = "github.com/blockwright/blockwright"

// leaves may import the standard library, gonum and internal/num, and nothing
// else of this module.
var leaves = []string{"estimate", "plates", "periodize/workload", "periodize/taper", "periodize/response"}

// layers is what else each package of the house may import of it, so that the
// arrows all point one way. A package that is not listed may import nothing.
var layers = map[string][]string{
	"":                    nil,
	"internal/num":        nil,
	"internal/house":      nil,
	"internal/reftable":   nil, // for tests alone
	"internal/texttab":    nil,
	"internal/atomicfile": nil,
	"internal/legible":    nil, // what names are refused for is the same in every file
	"internal/spelling":   nil,
	"periodize":           {"estimate", "plates", "periodize/workload", "periodize/taper", "periodize/response", "internal/num"},
	"periodize/blockfile": {"periodize", "plates", "estimate", "internal/legible", "internal/spelling"},
	"periodize/logbook":   {"estimate", "plates", "periodize", "periodize/workload", "internal/num", "internal/legible", "internal/spelling"},
	"periodize/sheet": {"periodize", "plates", "estimate", "periodize/workload", "internal/texttab",
		"periodize/sheet/internal/words"},
	"periodize/sheet/internal/words":   {"periodize", "plates"},
	"periodize/sheet/internal/example": {"periodize", "plates"},
	"periodize/sheet/workbook": {"periodize", "periodize/sheet", "plates", "estimate", "internal/texttab",
		"periodize/sheet/internal/words"},
	"periodize/sheet/figure": {"periodize", "periodize/sheet", "periodize/workload", "periodize/response", "periodize/taper", "estimate", "plates",
		"periodize/logbook"},
	"cmd/blockwright": {"*"},
	// programs that generate and check files of the tree
	"periodize/blockfile/internal/generate": {"*"},
	"periodize/sheet/internal/rendercheck":  {"*"},
}

// imports lists the packages of the module and the packages that each needs.
func imports(t *testing.T, format string) map[string][]string {
	t.Helper()
	cmd := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .`+format+` " "}}`, module+"/...")
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, stderr.String())
	}
	m := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		f := strings.Fields(line)
		m[f[0]] = f[1:]
	}
	return m
}

func short(path string) string {
	return strings.TrimPrefix(strings.TrimPrefix(path, module), "/")
}

func TestImportsPointOneWay(t *testing.T) {
	for path, deps := range imports(t, "Imports") {
		from := short(path)
		if strings.HasPrefix(from, "examples") {
			continue // programs that embed the library use what they like
		}
		allowed, known := layers[from]
		if slices.Contains(leaves, from) {
			allowed, known = []string{"internal/num"}, true
		}
		if !known {
			t.Errorf("%s is not in the table of layers; say what it may import", from)
		}
		for _, dep := range deps {
			if !strings.HasPrefix(dep, module) {
				continue
			}
			if to := short(dep); !slices.Contains(allowed, to) && !slices.Contains(allowed, "*") {
				t.Errorf("%s imports %s, which its layer does not allow", from, to)
			}
		}
	}
}

func TestLeavesNeedOnlyTheStandardLibraryAndGonum(t *testing.T) {
	all := imports(t, "Deps")
	for _, leaf := range append([]string{"internal/num"}, leaves...) {
		deps, ok := all[module+"/"+leaf]
		if !ok {
			t.Errorf("there is no package %s", leaf)
		}
		for _, dep := range deps {
			first, _, _ := strings.Cut(dep, "/")
			ours := dep == module+"/internal/num"
			if strings.Contains(first, ".") && first != "gonum.org" && !ours {
				t.Errorf("%s needs %s", leaf, dep)
			}
			if strings.HasPrefix(dep, "gonum.org/v1/plot") {
				t.Errorf("%s needs %s: pictures live at the edges", leaf, dep)
			}
		}
	}
}

func TestNothingImportsTheCommand(t *testing.T) {
	for path, deps := range imports(t, "Deps") {
		if slices.Contains(deps, module+"/cmd/blockwright") {
			t.Errorf("%s needs the command", short(path))
		}
	}
}
