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
	return c.after(r, err)
}

// CompareWith reads a log, or a part of one, and compares the methods on it by tests that were collected before, of all
// parts. Rows may come in any order; comparisons of several parts may be made at once, and merge.
//
// Errors are those of reading, a *BadRowsError where bad rows are not to be skipped, and an *OptionError.
func CompareWith(r *Reader, opt CompareOptions, tests *Tests) (*Comparison, error) {
	opt.Unit = r.Unit()
	c, err := NewComparisonWith(opt, tests)
	if err != nil {
		return nil, err
	}
	return c.after(r, r.batches(c.AddBatch))
}

// after is the comparison once a log was read, if nothing went wrong.
func (c *Comparison) after(r *Reader, err error) (*Comparison, error) {
	if err == nil {
		err = r.Err()
	}
	if err != nil {
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
