package estimate_test

import (
	"encoding/json"
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	. "github.com/blockwright/blockwright/estimate"
)

// A line that went through JSON answers as it did before, interval included.
func TestVelocityLineThroughJSON(t *testing.T) {
	l, err := FitVelocityLine([]VelocityPoint{{60, 1.02}, {80, 0.79}, {100, 0.55}, {110, 0.45}})
	if err != nil {
		t.Fatal(err)
	}
	b, err := json.Marshal(map[string]any{"line": l})
	if err != nil {
		t.Fatal(err)
	}
	var back struct{ Line VelocityLine }
	if err := json.Unmarshal(b, &back); err != nil {
		t.Fatal(err)
	}
	if back.Line != l {
		t.Errorf("got %+v, want %+v", back.Line, l)
	}
	want, err := l.Max(0.25, VelocityOptions{})
	if err != nil || !want.HasInterval {
		t.Fatal(want, err)
	}
	got, err := back.Line.Max(0.25, VelocityOptions{})
	if diff := cmp.Diff(want, got); err != nil || diff != "" {
		t.Errorf("%v (-want +got):\n%s", err, diff)
	}

	kept := l
	for _, s := range []string{
		`{"Intercept":1.7,"Slope":-0.01,"N":4,"Residual":0.01,"Lightest":60,"Heaviest":110,"Slowest":0.45,"Fastest":1.02}`,
		`{"Intercept":1.7,"Slope":-0.01,"N":4,"Lightest":60,"Heaviest":110,"Slowest":0.45,"Fastest":1.02,"MeanLoad":10,"SumSquares":9}`,
		`{"Slope":"steep"}`,
		`[]`,
	} {
		var de *DecodeError
		if err := json.Unmarshal([]byte(s), &kept); !errors.As(err, &de) || kept != l {
			t.Errorf("%s: %v, %+v", s, err, kept)
		}
	}
	// Fields copied by hand say nothing of the loads: that is no scatter of the points.
	var ve *VelocityError
	hand := VelocityLine{Intercept: l.Intercept, Slope: l.Slope, N: l.N, Residual: l.Residual, Heaviest: l.Heaviest}
	if _, err := hand.Max(0.25, VelocityOptions{}); !errors.As(err, &ve) {
		t.Errorf("got %v, want a *VelocityError", err)
	}
}

// What cannot be read back is not written as {}.
func TestLifterCurveHasNoJSON(t *testing.T) {
	l, err := Fit([]Set{{Load: 100, Reps: 5}, {Load: 80, Reps: 12}}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, v := range []any{l, *l, map[string]any{"curve": *l}} {
		var ee *EncodeError
		if b, err := json.Marshal(v); !errors.As(err, &ee) {
			t.Errorf("got %s, %v, want an *EncodeError", b, err)
		}
	}
}

// Whatever is wrong with the JSON of an accumulator is a *DecodeError, with the field where there is one.
func TestAgreementDecodeError(t *testing.T) {
	for s, field := range map[string]string{
		`{"n":-1}`: "n", `{"n":2,"ss_method":-4}`: "ss_method", `{"n":"two"}`: "", `[1]`: "",
	} {
		var a Agreement
		var de *DecodeError
		var fe *FieldError
		err := json.Unmarshal([]byte(s), &a)
		if !errors.As(err, &de) || de.Type != "agreement" || errors.As(err, &fe) != (field != "") || fe != nil && fe.Field != field {
			t.Errorf("%s: %v", s, err)
		}
	}
	for s, field := range map[string]string{
		`{"edges":[1]}`: "edges", `{"edges":[1,2],"bands":[]}`: "bands", `{"edges":[1,2],"bands":[{}],"outside":-1}`: "outside",
		`{"edges":[1,2],"bands":[{"n":-1}]}`: "n", `7`: "",
	} {
		var b AgreementBands
		var de *DecodeError
		var fe *FieldError
		err := json.Unmarshal([]byte(s), &b)
		if !errors.As(err, &de) || de.Type != "agreement bands" || errors.As(err, &fe) != (field != "") || fe != nil && fe.Field != field {
			t.Errorf("%s: %v", s, err)
		}
	}
}
