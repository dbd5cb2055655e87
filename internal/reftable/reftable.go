// Package reftable reads the tables of published and reference values that
// tests check against. It is for tests alone.
package reftable

import (
	"encoding/csv"
	"os"
	"testing"
)

// Rows reads a CSV file with a head: one map a row from column name to text. Lines
// that begin with # are left out. A file that cannot be read, or that holds no
// rows, ends the test.
func Rows(t testing.TB, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) < 2 {
		t.Fatalf("%s holds no rows", path)
	}
	out := make([]map[string]string, 0, len(rows)-1)
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = row[i]
		}
		out = append(out, m)
	}
	return out
}
