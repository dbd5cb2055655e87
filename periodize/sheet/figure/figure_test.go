package figure

import (
	"bytes"
	"errors"
	"image/png"
	"strings"
	"testing"

	"github.com/blockwright/blockwright/periodize"
)

func review() *periodize.Review {
	r := &periodize.Review{Name: "Ada"}
	for w := 1; w <= 4; w++ {
		kind := periodize.Training
		if w == 4 {
			kind = periodize.DeloadWeek
		}
		r.Weeks = append(r.Weeks, periodize.WeekReview{Week: w, Kind: kind,
			Totals:   periodize.Totals{Sets: 10 + 7*w%13, MeanIntensity: 65 + 3*float64(w), Heaviest: 78 + 4*float64(w)},
			Muscles:  []periodize.Count{{Name: "quads", Sets: float64(w)}, {Name: "glutes", Sets: 2.5 * float64(w)}},
			Sessions: []periodize.SessionReview{{Name: "Day one", Minutes: &periodize.Range{Mid: 50, Low: 40, High: 66}, Limit: 60}}})
	}
	return r
}

func TestReviewSaysWhatItShows(t *testing.T) {
	f, err := Review(review())
	if err != nil {
		t.Fatal(err)
	}
	var svg bytes.Buffer
	if err := f.Write(&svg, SVG); err != nil {
		t.Fatal(err)
	}
	for _, s := range []string{"Sets by week, Ada", "Intensity by week", "% of maximum", "Sets by muscle", "quads", "Minutes by session", "Day one", "longest limit", "deload"} {
		if !strings.Contains(svg.String(), s) {
			t.Errorf("the picture lacks %q", s)
		}
	}
	var again bytes.Buffer
	f2, _ := Review(review())
	if err := f2.Write(&again, SVG); err != nil || !bytes.Equal(svg.Bytes(), again.Bytes()) {
		t.Error("the same review gives other bytes")
	}
	var picture bytes.Buffer
	if err := f.Write(&picture, PNG); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&picture)
	if err != nil {
		t.Fatal(err)
	}
	if b := img.Bounds(); b.Dx() < 600 || b.Dy() < 1200 {
		t.Errorf("four panels in %d x %d points", b.Dx(), b.Dy())
	}
}

func TestReviewLeavesOutWhatItDoesNotKnow(t *testing.T) {
	r := review()
	for i := range r.Weeks {
		w := &r.Weeks[i]
		w.MeanIntensity, w.Heaviest, w.Muscles, w.Sessions = 0, 0, nil, nil
	}
	f, err := Review(r)
	if err != nil || len(f.panels) != 1 {
		t.Errorf("%d panels, %v; want only the sets", len(f.panels), err)
	}
	if _, err := Review(&periodize.Review{}); !errors.Is(err, ErrEmpty) {
		t.Errorf("an empty review: %v, want ErrEmpty", err)
	}
	var not *FormatError
	if err := f.Write(&bytes.Buffer{}, "gif"); !errors.As(err, &not) || err.Error() != `figure: there is no format "gif": want svg or png` {
		t.Errorf("an unknown format: %v", err)
	}
}

func TestSteps(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      string
	}{{0, 59, "0 10 20 30 40 50"}, {63, 112, "70 80 90 100 110"}, {0, 1.3, "0 0.2 0.4 0.6 0.8 1 1.2"}, {0, 140, "0 20 40 60 80 100 120 140"}} {
		var got []string
		for _, k := range (steps{}).Ticks(c.low, c.high) {
			got = append(got, k.Label)
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("%v to %v: %s, want %s", c.low, c.high, s, c.want)
		}
	}
}

func BenchmarkReviewSVG(b *testing.B) {
	f, err := Review(review())
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := f.Write(&bytes.Buffer{}, SVG); err != nil {
			b.Fatal(err)
		}
	}
}
