package house

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// mayPanic are methods that take a place in a list, as an index does: the zero value's list is empty.
var mayPanic = []string{
	"periodize.Grid.Kit", "periodize.Grid.Loads", "periodize.Grid.Name", "periodize.Grid.Places", "periodize.Grid.Price",
	"periodize.Program.Plan", "periodize/logbook.Batch.Lift", "periodize/logbook.Batch.Lifter",
}

// TestZeroValues calls every exported method of every exported type on the zero value, with arguments that are zero
// too (pointers to zero values, and slices of two). An error is an answer, a panic is none. A program does the calls, so that no
// type can be forgotten in a list.
func TestZeroValues(t *testing.T) {
	method := regexp.MustCompile(`^(\S+), method \(\*?(\w+)\)`)
	names, values := map[string]string{}, []string{}
	var imports strings.Builder
	for _, line := range exportedAPI(t) {
		m := method.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		if names[m[1]] == "" {
			names[m[1]] = fmt.Sprintf("p%d", len(names))
			fmt.Fprintf(&imports, "%s %q\n", names[m[1]], module+"/"+m[1])
		}
		values = append(values, fmt.Sprintf("{%q, new(%s.%s)},\n", m[1]+"."+m[2], names[m[1]], m[2]))
	}
	values = slices.Compact(slices.Sorted(slices.Values(values)))
	if len(values) < 60 {
		t.Fatalf("only %d types with methods", len(values))
	}
	file := filepath.Join(t.TempDir(), "main.go")
	if err := os.WriteFile(file, []byte(fmt.Sprintf(callAll, imports.String(), strings.Join(values, ""))), 0o666); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("go", "run", file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	panics := map[string]bool{}
	for line := range strings.Lines(string(out)) {
		name, _, _ := strings.Cut(line, ":")
		panics[name] = true
		if !slices.Contains(mayPanic, name) {
			t.Errorf("the zero value panics: %s", strings.TrimSpace(line))
		}
	}
	for _, name := range mayPanic {
		if !panics[name] {
			t.Errorf("%s does not panic any more: take it off the list", name)
		}
	}
}

const callAll = `package main

import (
	"bytes"
	"fmt"
	"io"
	"reflect"
%s)

func main() {
	for _, v := range []struct {
		name string
		zero any
	}{
%s	} {
		typ := reflect.TypeOf(v.zero)
		for i := range typ.NumMethod() {
			call(v.name+"."+typ.Method(i).Name, reflect.New(typ.Elem()).Method(i))
		}
	}
}

func call(name string, f reflect.Value) {
	defer func() {
		if e := recover(); e != nil {
			fmt.Printf("%%s: %%v\n", name, e)
		}
	}()
	var args []reflect.Value
	for a := range f.Type().Ins() {
		switch {
		case f.Type().IsVariadic() && len(args) == f.Type().NumIn()-1:
		case a.Kind() == reflect.Pointer:
			args = append(args, reflect.New(a.Elem()))
		case a.Kind() == reflect.Slice:
			args = append(args, reflect.MakeSlice(a, 2, 2))
		case a == reflect.TypeFor[io.Writer]():
			args = append(args, reflect.ValueOf(new(bytes.Buffer)))
		default:
			args = append(args, reflect.Zero(a))
		}
	}
	for _, out := range f.Call(args) {
		if err, ok := out.Interface().(error); ok {
			_ = err.Error()
		}
		if out.Kind() == reflect.Func { // an iterator
			yield := func([]reflect.Value) []reflect.Value { return []reflect.Value{reflect.ValueOf(true)} }
			out.Call([]reflect.Value{reflect.MakeFunc(out.Type().In(0), yield)})
		}
	}
}
`
