package plates_test

import (
	"errors"
	"testing"

	"github.com/blockwright/blockwright/plates"
)

// The zero Loads can be asked anything: there is nothing that it can load.
func TestZeroLoads(t *testing.T) {
	var l plates.Loads
	for _, m := range []plates.Mass{-plates.Kilogram, 0, 60 * plates.Kilogram} {
		x := plates.ExactOf(m)
		for _, how := range []plates.Rounding{plates.Nearest, plates.NearestUp, plates.Down, plates.Up} {
			if got := l.Round(x, how); got != (plates.Load{Below: true, Above: true}) {
				t.Errorf("Round(%v, %v) = %+v", m, how, got)
			}
			p := l.Prepare([]plates.Ratio{{}}, how)
			if got := p.Indexes(nil, m); len(got) != 1 || got[0] != 0 || p.Len() != 1 {
				t.Errorf("Indexes of %v: %v", m, got)
			}
		}
		_, _, below, above := l.Neighbours(x)
		_, sideOK := l.PerSide(m)
		_, _, partsOK := l.Parts(m)
		if l.Has(m) || below || above || sideOK || partsOK {
			t.Errorf("%v: %v %v %v %v %v, want false throughout", m, l.Has(m), below, above, sideOK, partsOK)
		}
		target := plates.Target{Mass: m}
		if e := l.Explain(target); e == nil || e.HaveBelow || e.HaveAbove || e.Error() == "" {
			t.Errorf("Explain(%v) = %v", m, e)
		}
		var no *plates.NotLoadableError
		if _, err := l.Sequence([]plates.Target{target}, plates.SequenceOptions{}); !errors.As(err, &no) {
			t.Errorf("Sequence: %v", err)
		}
		if _, err := l.Share([][]plates.Target{{target}, {target}}, plates.ShareOptions{}); !errors.As(err, &no) {
			t.Errorf("Share: %v", err)
		}
		if _, err := plates.Warmup(&l, m, plates.WarmupOptions{BarFirst: true}); !errors.As(err, &no) {
			t.Errorf("Warmup: %v", err)
		}
	}
	if l.Len() != 0 || l.At(0) != 0 || l.At(-1) != 0 || l.Lightest() != 0 || l.Heaviest() != 0 || l.Name() != "" {
		t.Errorf("%d totals from %v to %v", l.Len(), l.Lightest(), l.Heaviest())
	}
	if _, isBar := l.Bar(); isBar {
		t.Error("a bar")
	}
	for m := range l.All() {
		t.Errorf("a total of %v", m)
	}
}
