// Command serve answers over HTTP which weights of an invented gym stand for shares of a maximum.
//
//	go run ./examples/serve
//	curl 'localhost:8080/weights?max=142.5kg&percent=72.5&percent=85'
package main

import (
	"encoding/json"
	"fmt"
	"log"
	"net/http"
	"net/url"

	"github.com/blockwright/blockwright/plates"
)

func main() {
	bar, err := newBar()
	if err != nil {
		log.Fatal(err)
	}
	log.Fatal(http.ListenAndServe("localhost:8080", handler{bar}))
}

func newBar() (*plates.Loads, error) {
	stock, err := plates.ParseInventory("25:4, 10:2, 2.5:4", plates.KG) // plates in all
	if err != nil {
		return nil, err
	}
	return plates.NewLoads(plates.Bar{Mass: 20 * plates.Kilogram}, stock)
}

// weight is what stands for one percentage. Both go out as text, which is exact.
type weight struct {
	Percent plates.Ratio `json:"percent"`
	Load    plates.Mass  `json:"load"` // not over the percentage, unless that is under the bar
	Side    []string     `json:"side"` // each side, from the innermost plate outwards
	Below   bool         `json:"below_minimum,omitempty"`
	Above   bool         `json:"above_stock,omitempty"`
}

// handler answers with weights. Loads may be shared between goroutines.
type handler struct{ bar *plates.Loads }

func (h handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	weights, err := h.weigh(r.URL.RawQuery)
	if err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	json.NewEncoder(w).Encode(weights)
}

// weigh rounds shares of a maximum down to what can be loaded.
func (h handler) weigh(query string) (out []weight, err error) {
	q, err := url.ParseQuery(query)
	if err != nil {
		return nil, err
	}
	max, _, err := plates.ParseMassIn(q.Get("max"), plates.KG)
	if err != nil || max <= 0 || len(q["percent"]) == 0 {
		return nil, fmt.Errorf("want max=MASS above 0, such as 142.5kg or 315lb, and percent=NUMBER once or more, got %q", query)
	}
	for _, text := range q["percent"] {
		percent, err := plates.ParseRatio(text)
		if err != nil || percent.Sign() <= 0 || percent.Cmp(plates.WholeRatio(120)) > 0 {
			return nil, fmt.Errorf("percent: want a number above 0 and at most 120, got %q", text)
		}
		load := h.bar.Round(max.Percent(percent), plates.Down)
		side, _ := h.bar.PerSide(load.Mass) // what Round gives can be loaded
		answer := weight{percent, load.Mass, []string{}, load.Below, load.Above}
		for _, plate := range side {
			answer.Side = append(answer.Side, plate.String())
		}
		out = append(out, answer)
	}
	return out, nil
}
