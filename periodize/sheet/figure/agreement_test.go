package figure

import (
	"bytes"
	"math"
	"strings"
	"testing"
)

// Few pairs are drawn one by one, many are counted in fields; both say what they are, and two drawings are the same.
func TestAgreementOfPairs(t *testing.T) {
	r := comparisonOf(t, 5)
	series := []SeriesPoint{{70, 1, 2}, {90, -2, 2}}
	for _, c := range []struct {
		pairs int
		want  string
		not   string
	}{
		{3, "a set and its test (6)", "in a field of"},
		{mostPoints, "a set and its test (3000)", "in a field of"},
		{mostPoints + 1, "pairs in a field of ", "a set and its test"},
		{50000, " kg, of 100000", "a set and its test"},
	} {
		draw := func() string {
			a := NewAgreement(r, series)
			for i := range c.pairs {
				a.Add(80+float64(i%97)/10, 80, 2)
			}
			a.Add(math.NaN(), 80, 1)
			a.Add(80, 80, 0)
			if len(a.points) > mostPoints+1 || len(a.fields) > 100 {
				t.Errorf("%d points and %d fields are kept", len(a.points), len(a.fields))
			}
			f, err := Comparison(r, a)
			if err != nil {
				t.Fatal(err)
			}
			var b bytes.Buffer
			if err := f.Write(&b, SVG); err != nil {
				t.Fatal(err)
			}
			if err := f.Write(&bytes.Buffer{}, PNG); err != nil {
				t.Fatal(err)
			}
			return b.String()
		}
		svg := draw()
		if !strings.Contains(svg, c.want) || strings.Contains(svg, c.not) || strings.Contains(svg, "mean of one lifter") || strings.Contains(svg, "NaN") {
			t.Errorf("%d pairs: the picture lacks %q, or has %q", c.pairs, c.want, c.not)
		}
		if svg != draw() {
			t.Errorf("%d pairs: two drawings differ", c.pairs)
		}
	}
}

func TestFieldsAreRound(t *testing.T) {
	for v, want := range map[float64]float64{0: 1e-3, -1: 1e-3, math.Inf(-1): 1e-3, 0.9: 1, 1: 1, 1.1: 2, 2.2: 5, 5.1: 10, 73: 100} {
		if got := width(v); math.Abs(got-want) > 1e-9*want {
			t.Errorf("width(%v) = %v, want %v", v, got, want)
		}
	}
	for n, want := range map[int64]int{1: 0, 9: 0, 10: 1, 99: 1, 100: 2, 999: 2, 1000: 3, 1 << 40: len(shades) - 1} {
		if got := shadeOf(n); got != want {
			t.Errorf("shadeOf(%d) = %d, want %d", n, got, want)
		}
	}
}

// One lift alone has one mean, and fields for its pairs all the same.
func TestAgreementOfOneLift(t *testing.T) {
	a := NewAgreement(comparisonOf(t, 5), []SeriesPoint{{80, 1, 2}})
	for i := range mostPoints + 300 {
		a.Add(80+float64(i%97)/10, 80, 1)
	}
	if !(a.x >= 0.1) || len(a.fields) > 300 {
		t.Errorf("fields of %g kg, %d of them", a.x, len(a.fields))
	}
	if got := short(-0.001, 2); got != "0" {
		t.Errorf("bias %s", got)
	}
}
