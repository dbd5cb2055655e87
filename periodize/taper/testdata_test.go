package taper_test

import (
	"strconv"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/internal/reftable"
)

// records reads a reference table of the module; every row of these tables
// names its source and how it was obtained.
func records(t testing.TB, name string) []map[string]string {
	t.Helper()
	return reftable.Rows(t, "../../testdata/"+name)
}

// worked finds a row of taper-worked-examples.csv and its numbers.
func worked(t *testing.T, id string) (want []float64, tol float64) {
	t.Helper()
	for _, r := range records(t, "taper-worked-examples.csv") {
		if r["id"] != id {
			continue
		}
		for s := range strings.SplitSeq(r["expected"], ";") {
			x, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
			if err != nil {
				t.Fatal(err)
			}
			want = append(want, x)
		}
		tol, err := strconv.ParseFloat(r["tolerance"], 64)
		if err != nil {
			t.Fatal(err)
		}
		return want, tol
	}
	t.Fatalf("no row %s", id)
	return nil, 0
}
