package workload

import "github.com/blockwright/blockwright/internal/num"

// INOLEvidence is what may be said about INOL beside its number.
const INOLEvidence = "coaching convention without validation: one author's self-published article (Hristov, dated 2004 or 2005 in different copies)"

// INOL adds up repetitions / (100 - per cent of the maximum), the formula from
// memory; a worked value was seen on a secondary page. It is a coaching
// convention without validation; see [INOLEvidence]. At the maximum it divides
// by zero, and near it it explodes: a set at or above 100 % is counted and
// makes the value undefined. Sets without a known maximum are left out. The
// zero value is empty.
type INOL struct {
	sum       num.Sum
	atMaximum int64
}

// Add adds a set, warm-up or not.
func (n *INOL) Add(s Set) error {
	if err := s.validate(); err != nil {
		return err
	}
	n.add(s)
	return nil
}

func (n *INOL) add(s Set) {
	if s.Max == 0 || s.Reps == 0 {
		return
	}
	p := 100 * (s.Load / s.Max)
	if atLeast(p, 100) {
		n.atMaximum += s.count()
		return
	}
	n.sum.Add(float64(s.lifts()) / (100 - p))
}

// Merge adds another sum.
func (n *INOL) Merge(o INOL) {
	n.sum.Merge(o.sum)
	n.atMaximum += o.atMaximum
}

// Value is the sum, undefined where a set was at or above the maximum.
func (n INOL) Value() Index {
	if n.atMaximum > 0 {
		return Index{Undefined: AtMaximum}
	}
	return Index{Value: n.sum.Value()}
}

// AtMaximum is the number of sets at or above the maximum.
func (n INOL) AtMaximum() int64 { return n.atMaximum }
