package logbook

import "errors"

// Compare reads a log and compares the methods on it. A log whose rows are in the order of their days
// within each lifter and lift is read once. Any other is read twice, first for its tests.
//
// Errors are those of reading, a *BadRowsError where bad rows are not to be skipped, an
// *OptionError, and an *OrderError for a stream that is out of order and
// too long to be read twice.
func Compare(r *Reader, opt CompareOptions) (*Comparison, error) {
	opt.Unit = r.Unit()
	c, err := NewComparison(opt)
	if err != nil {
		return nil, err
	}
	var late *OrderError
	err = r.batches(c.AddBatch)
	if errors.As(err, &late) {
		if c, err = compareTwice(r, opt); errors.Is(err, ErrOnce) {
			err = late
		}
	}
	if err != nil {
		return nil, err
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	c.close()
	return c, nil
}

func compareTwice(r *Reader, opt CompareOptions) (*Comparison, error) {
	tests, err := CollectTests(r, opt.Tests)
	if err != nil {
		return nil, err
	}
	c, err := NewComparisonWith(opt, tests)
	if err != nil {
		return nil, err
	}
	tests.series = nil // only what is looked up is needed any more
	return c, r.batches(c.AddBatch)
}

// batches hands every batch to each.
func (r *Reader) batches(each func(*Batch) error) error {
	for b, err := range r.Batches() {
		if err != nil {
			return err
		}
		if err := each(b); err != nil {
			return err
		}
	}
	return nil
}

// Counts says what became of the sets. It closes the comparison.
func (c *Comparison) Counts() Counts {
	c.close()
	return c.counts
}
