package workload_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/blockwright/blockwright/internal/reftable"
)

// records reads a reference table of the module; every row of these tables
// names its source and how it was obtained.
func records(t testing.TB, name string) []map[string]string {
	t.Helper()
	return reftable.Rows(t, "../../testdata/"+name)
}

// row finds a row of a table by its id.
func row(t *testing.T, table, id string) map[string]string {
	t.Helper()
	for _, r := range records(t, table) {
		if r["id"] == id {
			return r
		}
	}
	t.Fatalf("no row %s", id)
	return nil
}

// worked compares numbers with a row of workload-worked-examples.csv, within
// the row's tolerance.
func worked(t *testing.T, id string, got ...float64) {
	t.Helper()
	r := row(t, "workload-worked-examples.csv", id)
	tol := 0.0
	if s := r["tolerance"]; strings.HasPrefix(s, "model check: within ") {
		tol = parse(t, strings.Fields(s)[3])
	} else if s != "" {
		tol = parse(t, s)
	}
	want := numbers(t, r["expected"])
	if id == "RE-06" {
		tol = 0 // an exact pair of starting values
	}
	if diff := cmp.Diff(want, got, cmpopts.EquateApprox(0, tol)); diff != "" {
		t.Errorf("%s, %s (-want +got):\n%s", id, r["source"], diff)
	}
}

func numbers(t *testing.T, list string) (out []float64) {
	t.Helper()
	for s := range strings.SplitSeq(list, ";") {
		out = append(out, parse(t, s))
	}
	return out
}

func parse(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

type tester interface {
	Helper()
	Fatal(...any)
}

func must[T any](x T, err error) func(tester) T {
	return func(t tester) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

func near(a, b, rel float64) bool {
	return math.Abs(a-b) <= rel*math.Max(math.Abs(a), math.Abs(b))
}
