package plates

import (
	"slices"
	"testing"
)

// TestHeavyStack: where the fewest plates are all too small for a demand, a heavy one
// goes on first and whatever fits makes up the rest.
func TestHeavyStack(t *testing.T) {
	stock := Inventory{}
	for _, kg := range []Mass{20, 18, 10, 6} {
		stock = append(stock, Stock{Plate: Plate{Mass: kg * Kilogram}, Count: 4})
	}
	l, err := NewLoads(Bar{Mass: 20 * Kilogram}, stock)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		side, floor Mass
		want        []uint8 // kinds, the heaviest being 0
	}{
		{36, 0, []uint8{1, 1}},
		{36, 20, []uint8{0, 2, 3}},
		{38, 20, []uint8{0, 1}},
		{56, 20, []uint8{0, 1, 1}},
		{36, 18, []uint8{1, 1}},
		{16, 20, nil}, // nothing of 20 in it
		{17, 0, nil},  // cannot be loaded
	} {
		w := window{any: c.floor == 0, heavy: l.heavy(c.floor * Kilogram)}
		got := l.heavyStack(c.side*Kilogram, &w)
		if !slices.Equal(got, c.want) {
			t.Errorf("%d kg a side, with %d kg on each: %v, want %v", c.side, c.floor, got, c.want)
		}
	}
}

// TestRichStockGreedy: the plan of last resort loads every target.
func TestRichStockGreedy(t *testing.T) {
	var stock Inventory
	for _, kg := range []Mass{20, 18, 10, 6} {
		stock = append(stock, Stock{Plate: Plate{Mass: kg * Kilogram}, Count: 20})
	}
	l, err := NewLoads(Bar{Mass: 20 * Kilogram}, stock)
	if err != nil {
		t.Fatal(err)
	}
	s := NewSequencer(l)
	var wins []window
	for _, total := range []Mass{92, 96, 92, 132} {
		w, ok := l.span(total*Kilogram, (total+4)*Kilogram, 20*Kilogram)
		if !ok {
			t.Fatalf("%d kg cannot be loaded", total)
		}
		wins = append(wins, w)
	}
	p, err := newProblem(l, wins, nil, SequenceOptions{EndEmpty: true})
	if err != nil {
		t.Fatal(err)
	}
	out := s.trie.greedy(p)
	for i, stack := range out.stacks {
		sum := Mass(0)
		for _, k := range stack {
			sum += l.kinds[k].plate.Mass
		}
		if len(stack) == 0 || stack[0] != 0 || sum < wins[i].lo || sum > wins[i].hi || !slices.IsSorted(stack) {
			t.Errorf("window %d, %v to %v a side: %v", i, wins[i].lo, wins[i].hi, stack)
		}
	}
	if out.cost < p.one {
		t.Errorf("a cost of %d for taking the plates on and off", out.cost)
	}
}
