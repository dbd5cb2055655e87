package estimate

import (
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/blockwright/blockwright/internal/reftable"
)

// readTable reads a file of published values from the module's testdata: one
// map from column name to text for each row.
func readTable(t testing.TB, name string) []map[string]string {
	t.Helper()
	return reftable.Rows(t, "../testdata/"+name)
}

func num64(t testing.TB, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// approx compares numbers to a relative tolerance.
func approx(tol float64) cmp.Option { return cmpopts.EquateApprox(tol, 0) }
