package response

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// records reads a reference table of the module; each names its source and how
// it was obtained, in its rows or in testdata/README.md.
func records(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, h := range rows[0] {
			m[h] = r[i]
		}
		out = append(out, m)
	}
	return out
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
