package plates_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"testing"

	"github.com/blockwright/blockwright/plates"
)

func TestLoadsThroughJSON(t *testing.T) {
	kg := plates.Kilogram
	bar, err := plates.NewLoads(plates.Bar{Name: "bar", Mass: 20 * kg, Collars: 5 * kg},
		plates.Inventory{{Plate: plates.Plate{Mass: 25 * kg}, Count: 3}, {Plate: plates.Plate{Mass: 45 * plates.Pound, Unit: plates.LB}, Count: 4}})
	if err != nil {
		t.Fatal(err)
	}
	station, err := plates.NewStation("stack", []plates.Mass{0, 5 * kg, 10 * kg}, []plates.Mass{5 * kg / 2})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range []*plates.Loads{{}, bar, station} {
		b, err := json.Marshal(map[string]any{"pointer": l, "value": *l})
		if err != nil {
			t.Fatal(err)
		}
		var back map[string]*plates.Loads
		if err := json.Unmarshal(b, &back); err != nil {
			t.Fatalf("%s: %v", b, err)
		}
		for k, got := range back {
			gb, gok := got.Bar()
			wb, wok := l.Bar()
			if got.Name() != l.Name() || gb != wb || gok != wok || !slices.Equal(slices.Collect(got.All()), slices.Collect(l.All())) {
				t.Errorf("%s of %s: %v", k, b, slices.Collect(got.All()))
			}
			for m := range l.All() {
				a, _ := got.PerSide(m)
				w, _ := l.PerSide(m)
				fa, pa, _ := got.Parts(m)
				fw, pw, _ := l.Parts(m)
				if !slices.Equal(a, w) || fa != fw || !slices.Equal(pa, pw) {
					t.Errorf("%v: %v, want %v; %v %v, want %v %v", m, a, w, fa, pa, fw, pw)
				}
			}
		}
	}
	for _, s := range []string{
		`[]`, `{"bar":{"mass":20}}`, `{"bar":{"mass":"-20kg","collars":"0kg"}}`, `{"plates":[]}`, `{"name":"stack"}`,
		`{"add":["1kg"]}`, `{"bar":{"mass":"20kg","collars":"0kg"},"weights":["5kg"]}`, `{"weights":["-5kg"]}`,
	} {
		l := *station
		var de *plates.DecodeError
		if err := json.Unmarshal([]byte(s), &l); !errors.As(err, &de) || l.Len() != station.Len() {
			t.Errorf("%s: %v, %d totals", s, err, l.Len())
		}
	}
}

func ExampleLoads_MarshalJSON() {
	kg := plates.Kilogram
	l, err := plates.NewLoads(plates.Bar{Name: "short", Mass: 10 * kg}, plates.Inventory{{Plate: plates.Plate{Mass: 5 * kg}, Count: 4}})
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := json.Marshal(l)
	fmt.Println(string(b), err)
	// Output: {"name":"short","bar":{"mass":"10kg","collars":"0kg"},"plates":[{"Mass":"5kg","Unit":"kg","Count":4}]} <nil>
}
