package figure

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize/logbook"
)

func comparisonOf(t *testing.T, lifters int) *logbook.Result {
	t.Helper()
	var b strings.Builder
	b.WriteString("date,lifter,lift,load,reps,rir,tested\n")
	for i := range lifters {
		fmt.Fprintf(&b, "2027-03-01,L%d,row,%d,5,1,\n2027-03-02,L%d,row,%d,9,1,\n2027-03-08,L%d,row,%d,1,0,1\n", i, 60+i, i, 52+i, i, 70+2*i)
	}
	c, err := logbook.Compare(logbook.NewReader(logbook.Options{}, logbook.Stream("log", strings.NewReader(b.String()))), logbook.CompareOptions{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := c.Result(logbook.ResultOptions{Resamples: 50})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestComparisonSaysWhatItShows(t *testing.T) {
	r := comparisonOf(t, 5)
	f, err := Comparison(r, NewAgreement(r, []SeriesPoint{{70, 1, 2}, {72, -2, 2}}))
	if err != nil {
		t.Fatal(err)
	}
	var svg bytes.Buffer
	if err := f.Write(&svg, SVG); err != nil {
		t.Fatal(err)
	}
	best := r.All.Methods[Nearest(r)]
	for _, s := range []string{"Agreement with tests, " + best.ID, "limits of agreement of single pairs", "lifter&apos;s lift (2); single pairs are not known", "Bias by repetitions", "Mean absolute error by repetitions", "4-6", "5 pairs", "95 % over lifters"} {
		if !strings.Contains(strings.ReplaceAll(svg.String(), "&#39;", "&apos;"), s) {
			t.Errorf("the picture lacks %q", s)
		}
	}
	families := map[string]bool{}
	for _, i := range drawn(r) {
		if families[r.All.Methods[i].Family] || r.All.Methods[i].MAE < best.MAE*(1-1e-9) {
			t.Errorf("%s is of a family that is drawn, or errs less than the best", r.All.Methods[i].ID)
		}
		families[r.All.Methods[i].Family] = true
	}
	if len(families) != 4 {
		t.Errorf("%d families, want 4", len(families))
	}
}

// One lifter with one pair has no limits, and nobody has nothing.
func TestComparisonOfLittle(t *testing.T) {
	r := comparisonOf(t, 1)
	f, err := Comparison(r, NewAgreement(r, []SeriesPoint{{70, 0, 1}}))
	if err != nil {
		t.Fatal(err)
	}
	if err := f.Write(&bytes.Buffer{}, PNG); err != nil {
		t.Error(err)
	}
	for _, r := range []*logbook.Result{{}, comparisonOf(t, 0)} {
		if _, err := Comparison(r, nil); !errors.Is(err, ErrEmpty) || Nearest(r) >= 0 && r.All.Pairs == 0 {
			t.Errorf("%v, want ErrEmpty", err)
		}
	}
}
