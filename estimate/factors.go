package estimate

// Factors is a table of maximum over load for chosen equations at whole and half
// repetitions: the fast way to put very many sets through several equations. The
// numbers are those of Equation.Max. It is read-only after NewFactors and may be
// shared between goroutines.
type Factors struct {
	k    int       // equations
	rows int       // half repetitions from 1
	f    []float64 // factor of equation j at repetitions 1 + i/2 in [i*k+j]; 0 where it refuses
}

// mostFactorReps is the last repetition count of the table: no equation answers
// for more.
const mostFactorReps = limitReps

// NewFactors makes the table for the equations of those identifiers, in that
// order; with none, for all of Equations. The error is a *NameError.
func NewFactors(ids ...string) (*Factors, error) {
	es := make([]Equation, 0, len(ids))
	for _, id := range ids {
		e, err := EquationByID(id)
		if err != nil {
			return nil, err
		}
		es = append(es, e)
	}
	if len(ids) == 0 {
		es = Equations()
	}
	t := &Factors{k: len(es), rows: 2*mostFactorReps - 1}
	t.f = make([]float64, t.k*t.rows)
	for i := range t.rows {
		n := 1 + float64(i)/2
		for j := range es {
			if m, _, err := es[j].Max(1, n, 0); err == nil {
				t.f[i*t.k+j] = m
			}
		}
	}
	return t, nil
}

// Len is the number of equations of the table.
func (t *Factors) Len() int { return t.k }

// Max fills dst with the maximum each equation predicts from reps repetitions at
// load with rir in reserve, 0 where the equation refuses. dst must hold Len
// numbers. It reports false, with dst untouched, for what the table does not
// hold: a load that is not above 0 or not finite, repetitions and reserve whose
// sum is not a whole or half number from 1 to 50, or too short a dst.
// Equation.Max then says what is wrong or has the answer.
func (t *Factors) Max(dst []float64, load, reps, rir float64) bool {
	i := 2*(reps+rir) - 2
	if !(i >= 0 && i < float64(t.rows)) || !(load > 0 && load <= 1e300) || len(dst) < t.k || !(rir >= 0) || !(reps >= 1) {
		return false
	}
	at := int(i)
	if float64(at) != i {
		return false
	}
	row := t.f[at*t.k : (at+1)*t.k]
	dst = dst[:len(row)]
	for j, f := range row {
		dst[j] = f * load
	}
	return true
}
