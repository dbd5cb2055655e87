package plates

import (
	"strconv"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/internal/reftable"
)

// The tables in testdata/plates-*.csv were computed by brute force over every
// subset of the stock; each row says so in its column "have".

// table reads a CSV of testdata as one map a row.
func table(t testing.TB, name string) []map[string]string {
	t.Helper()
	return reftable.Rows(t, "../testdata/"+name)
}

func unit(t testing.TB, s string) Unit {
	t.Helper()
	u, err := ParseUnit(s)
	if err != nil {
		t.Fatal(err)
	}
	return u
}

func massIn(t testing.TB, s string, u Unit) Mass {
	t.Helper()
	m, _, err := ParseMassIn(s, u)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// stack reads "25+10lb+2.5" or "empty".
func stack(t testing.TB, s string, u Unit) []Plate {
	t.Helper()
	out := []Plate{}
	if s = strings.TrimSpace(s); s == "empty" || s == "" {
		return out
	}
	for _, p := range strings.Split(s, "+") {
		m, written, err := ParseMassIn(p, u)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, Plate{m, written})
	}
	return out
}

// gym is a row of the inventories table.
type gym struct {
	id   string
	unit Unit
	bar  Bar
	inv  Inventory
	row  map[string]string
}

func gyms(t testing.TB) []gym {
	t.Helper()
	var out []gym
	for _, r := range table(t, "plates-inventories.csv") {
		u := unit(t, r["unit"])
		g := gym{id: r["inventory_id"], unit: u, row: r,
			bar: Bar{Name: r["inventory_id"], Mass: massIn(t, r["bar_mass"], u), Collars: massIn(t, r["both_collars_mass"], u)}}
		for _, p := range strings.Split(r["pairs_of_plates"], ";") {
			what, n, _ := strings.Cut(p, "x")
			pairs, err := strconv.Atoi(n)
			if err != nil {
				t.Fatal(err)
			}
			m, written, err := ParseMassIn(what, u)
			if err != nil {
				t.Fatal(err)
			}
			g.inv = append(g.inv, Stock{Plate{m, written}, 2 * pairs})
		}
		out = append(out, g)
	}
	return out
}

func gymNamed(t testing.TB, id string) gym {
	t.Helper()
	for _, g := range gyms(t) {
		if g.id == id {
			return g
		}
	}
	t.Fatalf("no inventory %q", id)
	return gym{}
}

func (g gym) loads(t testing.TB) *Loads {
	t.Helper()
	l, err := NewLoads(g.bar, g.inv)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func mustRatio(t testing.TB, s string) Ratio {
	t.Helper()
	r, err := ParseRatio(s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
