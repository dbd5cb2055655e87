package taper_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"testing"

	"github.com/blockwright/blockwright/periodize/taper"
)

func TestCurveThroughJSON(t *testing.T) {
	one := func(c taper.Curve, err error) taper.Curve {
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	for _, c := range []taper.Curve{
		{},
		one(taper.NewStep(10, 0.5)),
		one(taper.NewLinear(7, 0)),
		one(taper.ForMean(taper.Exponential, 14, 0.5)),
		one(taper.ForCuts(9, 0.45, 0.6)),
	} {
		b, err := json.Marshal(struct{ Curve taper.Curve }{c})
		if err != nil {
			t.Fatal(err)
		}
		var back struct{ Curve taper.Curve }
		if err := json.Unmarshal(b, &back); err != nil || back.Curve != c {
			t.Errorf("%s: %v, %v, want %v", b, back.Curve, err, c)
		}
	}
	kept := one(taper.NewStep(10, 0.5))
	for _, s := range []string{
		`{}`, `{"days":0}`, // a taper of no days, not an error
		`{"shape":"step","days":10}`, `{"shape":"step","days":0,"cut":0.5}`, `{"shape":"linear","days":10,"cut":1.5}`,
		`{"shape":"exponential","days":10,"tau":4}`, `{"shape":"exponential","days":10,"tau":0,"floor":0}`,
		`{"shape":"wave","days":10}`, `{"days":10}`, `{"days":"ten"}`, `3`,
	} {
		c := kept
		var de *taper.DecodeError
		err := json.Unmarshal([]byte(s), &c)
		if none := (taper.Curve{}); c == none && err == nil && (s == `{}` || s == `{"days":0}`) {
			continue
		}
		if !errors.As(err, &de) || c != kept {
			t.Errorf("%s: %v, %v", s, c, err)
		}
	}
}

func ExampleCurve_MarshalJSON() {
	c, err := taper.NewExponential(14, 4, 0.3)
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := json.Marshal(c)
	fmt.Println(string(b), err)
	// Output: {"shape":"exponential","days":14,"tau":4,"floor":0.3} <nil>
}
