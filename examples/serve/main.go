// Command serve answers over HTTP which weights of one gym stand for shares of a
// maximum. It takes plates alone of the module. The gym is invented.
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

var gym = plates.Inventory{
	{Plate: plates.Plate{Mass: 25 * plates.Kilogram}, Count: 4},
	{Plate: plates.Plate{Mass: 10 * plates.Kilogram}, Count: 2},
	{Plate: plates.Plate{Mass: 2500 * plates.Gram}, Count: 4},
}

func main() {
	bar, err := plates.NewLoads(plates.Bar{Mass: 20 * plates.Kilogram}, gym)
	if err != nil {
		log.Fatal(err)
	}
	log.Fatal(http.ListenAndServe("localhost:8080", handler{bar}))
}

// weight is what stands for one percentage. Masses go out as text, which is exact.
type weight struct {
	Percent string   `json:"percent"`
	Load    string   `json:"load"` // not over the percentage, unless that is under the bar
	Side    []string `json:"side"` // each side, from the innermost plate outwards
	Below   bool     `json:"below_minimum,omitempty"`
	Above   bool     `json:"above_stock,omitempty"`
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
func (h handler) weigh(query string) ([]weight, error) {
	q, err := url.ParseQuery(query)
	if err != nil {
		return nil, err
	}
	max, _, err := plates.ParseMassIn(q.Get("max"), plates.KG)
	if err != nil || max <= 0 || len(q["percent"]) == 0 {
		return nil, fmt.Errorf("want max=MASS above 0, such as 142.5kg or 315lb, and percent=NUMBER once or more, got %q", query)
	}
	var out []weight
	for _, text := range q["percent"] {
		percent, err := plates.ParseRatio(text)
		if err != nil || percent.Sign() <= 0 || percent.Cmp(plates.WholeRatio(120)) > 0 {
			return nil, fmt.Errorf("percent: want a number above 0 and at most 120, got %q", text)
		}
		load := h.bar.Round(max.Percent(percent), plates.Down)
		side, _ := h.bar.PerSide(load.Mass) // what Round gives can be loaded
		labels := make([]string, len(side))
		for i, plate := range side {
			labels[i] = plate.String()
		}
		out = append(out, weight{text, load.Mass.String(), labels, load.Below, load.Above})
	}
	return out, nil
}
