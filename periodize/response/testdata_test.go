package response

import (
	"strconv"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/internal/reftable"
)

// records reads a reference table of the module; each names its source and how
// it was obtained, in its rows or in testdata/README.md.
func records(t testing.TB, name string) []map[string]string {
	t.Helper()
	return reftable.Rows(t, "../../testdata/"+name)
}

func float(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// worked finds the numbers of a row of response-worked-examples.csv, derived
// there independently of this code, and its tolerance.
func worked(t testing.TB, id string) (want []float64, tol float64) {
	t.Helper()
	for _, r := range records(t, "response-worked-examples.csv") {
		if r["id"] != id {
			continue
		}
		for s := range strings.SplitSeq(strings.ReplaceAll(r["expected"], "|", ";"), ";") {
			want = append(want, float(t, s))
		}
		return want, float(t, strings.TrimPrefix(r["tolerance"], "rel "))
	}
	t.Fatalf("no row %s", id)
	return nil, 0
}
