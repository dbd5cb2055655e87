package plates

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The colour tables against testdata/disc-colours.csv, which says where each
// colour was seen. Tables that are only from memory are not offered.
func TestColours(t *testing.T) {
	bodies := map[string]string{"IWF": "IWF", "WPPO": "World Para Powerlifting"}
	seen := map[string]int{}
	for _, r := range table(t, "disc-colours.csv") {
		name := bodies[r["body"]]
		var tab *ColourTable
		for _, c := range ColourTables() {
			if c.Body == name {
				tab = &c
			}
		}
		if r["have"] == "memory" {
			if tab != nil {
				t.Errorf("%s %s kg is from memory", r["body"], r["disc_kg"])
			}
			continue
		}
		if tab == nil {
			t.Errorf("no table for %s", r["body"])
			continue
		}
		if tab.Edition == "" || tab.Have == "" {
			t.Errorf("%s names no edition or origin", name)
		}
		seen[name]++
		want := strings.TrimSuffix(r["colour"], "any")
		if c, ok := tab.Of(Plate{massIn(t, r["disc_kg"], KG), KG}); !ok || c != want {
			t.Errorf("%s %s kg is %q, want %q", name, r["disc_kg"], c, want)
		}
	}
	for _, c := range ColourTables() {
		if seen[c.Body] != len(c.Discs) {
			t.Errorf("%s has %d discs, %d of them in the table", c.Body, len(c.Discs), seen[c.Body])
		}
		if c.Follows([]Plate{{25 * Kilogram, KG}, {45 * Pound, LB}}) || !c.Follows([]Plate{{25 * Kilogram, KG}}) {
			t.Errorf("%s: pound plates follow no such standard", c.Body)
		}
	}
}

func TestDrawColours(t *testing.T) {
	iwf := &ColourTables()[0]
	paint := func(c, s string) string { return "<" + c + ">" + s }
	for _, c := range []struct {
		side []Plate
		opt  DrawOptions
		want string
	}{
		{[]Plate{{25 * Kilogram, KG}, {Kilogram, KG}}, DrawOptions{OneSide: true, Colours: iwf, Paint: paint}, "|== 20 kg ==|<red>[      25       ]<green>[ 1 ]--"},
		{[]Plate{{25 * Kilogram, KG}, {Kilogram, KG}}, DrawOptions{OneSide: true, Colours: iwf}, "|== 20 kg ==|[      25       ][ 1 ]--"},
		// A gym plate that the federation does not have: no colours at all.
		{[]Plate{{25 * Kilogram, KG}, {5 * Kilogram / 4, KG}}, DrawOptions{OneSide: true, Colours: iwf, Paint: paint}, "|== 20 kg ==|[      25       ][ 1.25 ]--"},
		{[]Plate{{45 * Pound, LB}}, DrawOptions{OneSide: true, Unit: LB}, "|== 44.0925 lb ==|[     45      ]--"},
	} {
		if got := Draw(Bar{Mass: 20 * Kilogram}, c.side, c.opt); got != c.want {
			t.Errorf("%s\nwant %s", got, c.want)
		}
	}
}

// Both sides mirror each other, every plate has its label, and a heavier plate
// is never narrower.
func TestDrawing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bar, inv := drawGym(t)
		l, err := NewLoads(bar, inv)
		if err != nil {
			t.Fatal(err)
		}
		side, _ := l.PerSide(l.At(rapid.IntRange(0, l.Len()-1).Draw(t, "total")))
		u := Unit(rapid.IntRange(0, 1).Draw(t, "unit"))
		text := Draw(bar, side, DrawOptions{Unit: u})
		left, right, _ := strings.Cut(text, "|== ")
		_, right, _ = strings.Cut(right, "==|")
		box := func(s string) []string {
			return strings.FieldsFunc(s, func(r rune) bool { return r == '[' || r == ']' })
		}
		var boxes [2][]string
		for i, s := range []string{left, right} {
			for _, b := range box(s) {
				if b = strings.TrimRight(b, "-"); b != "" && !strings.Contains(b, "(") {
					boxes[i] = append(boxes[i], b)
				}
			}
		}
		if len(boxes[0]) != len(side) || len(boxes[1]) != len(side) {
			t.Fatalf("%s shows not %v", text, side)
		}
		for i, p := range side {
			if strings.TrimSpace(boxes[1][i]) != p.Label(u) || boxes[0][len(side)-1-i] != boxes[1][i] {
				t.Fatalf("%s shows not %v", text, side)
			}
			for j, q := range side {
				if p.Mass > q.Mass && len(boxes[1][i]) < len(boxes[1][j]) {
					t.Fatalf("%s: %v is narrower than %v", text, p, q)
				}
			}
		}
	})
}

// TestDrawNarrow: alike plates as one, no wider than their labels.
func TestDrawNarrow(t *testing.T) {
	kg := func(m Mass) Plate { return Plate{Mass: m * Kilogram} }
	side := []Plate{kg(25), kg(25), kg(25), kg(20), kg(10), kg(10)}
	got := Draw(Bar{Mass: 20 * Kilogram}, side, DrawOptions{OneSide: true, Narrow: true})
	if want := "|== 20 kg ==|[3x25][20][2x10]--"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
