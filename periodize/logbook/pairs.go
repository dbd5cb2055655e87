package logbook

import "iter"

// Pair is a set of a comparison and the test that it is put against.
type Pair struct {
	Lifter, Lift string
	Load         float64 // of the set, in the reader's unit
	Reps         float64 // done, and left by the report
	Tested       float64 // load of the test
	Sets         int     // equal sets that it stands for
}

// Pairs goes through the pairs that [Compare] sums up, in the order of the sets in the log: for a picture, or for sums of
// one's own. It reads the log twice, first for its tests, whatever the order of the rows, so that memory follows the tests. An
// error ends it: those of [Compare], and [ErrOnce] for a stream that is too long to be read twice.
func Pairs(r *Reader, opt CompareOptions) iter.Seq2[Pair, error] {
	return func(yield func(Pair, error) bool) {
		if err := r.pairs(opt, yield); err != nil && err != errStop {
			yield(Pair{}, err)
		}
	}
}

func (r *Reader) pairs(opt CompareOptions, yield func(Pair, error) bool) error {
	o, err := opt.resolve()
	if err != nil {
		return err
	}
	all, err := CollectTests(r, opt.Tests)
	if err != nil {
		return err
	}
	tests := all.frozen()
	series := map[seriesKey]int32{} // of the tests, by the numbers of the reader; negative for none
	sorts := newShare(o)
	err = r.batches(func(b *Batch) error {
		for i := range b.Sets {
			s := &b.Sets[i]
			if role, _ := sorts.sort(s); role != isSet {
				continue
			}
			k := seriesKey{s.Lifter, s.Lift}
			id, known := series[k]
			if !known {
				id = -1
				lifter, okA := tests.lookup(0, b.Lifter(s.Lifter))
				lift, okL := tests.lookup(1, b.Lift(s.Lift))
				if okA && okL {
					id = tests.table.find(seriesKey{lifter, lift})
				}
				series[k] = id
			}
			if id < 0 {
				continue
			}
			days := tests.days[tests.first[id]:tests.first[id+1]]
			at := after(days, s.Day)
			if at == len(days) || days[at]-s.Day > o.window {
				continue
			}
			p := Pair{Lifter: b.Lifter(s.Lifter), Lift: b.Lift(s.Lift), Load: s.Load, Reps: float64(s.Reps) + max(s.RIR, 0), Tested: tests.load(id, int32(at)), Sets: int(s.Count)}
			if !yield(p, nil) {
				return errStop
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	return r.Err()
}
