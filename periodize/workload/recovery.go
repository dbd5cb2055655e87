package workload

import (
	"math"

	"github.com/blockwright/blockwright/internal/num"
)

// RecoveryEvidence is what may be said about predicted reserves beside their numbers.
const RecoveryEvidence = "exploratory fit to published totals of sets to failure, accurate to 10 to 15 per cent of the repetitions; for sets near failure only, not for maximal singles"

// Recovery predicts what is left in each of several sets from the fraction of
// repetition capacity that a rest of t seconds restores,
//
//	R(t) = 1 - a exp(-t/tau) - b exp(-t/tauSlow)
//
// A set takes its repetitions off the capacity, and the rest after it gives
// back R of what is missing, whatever came before. After a set to failure the
// next one therefore has R(t) of the fresh capacity. Capacity is shared by sets
// of different weight as a fraction: ten of twenty possible repetitions with a
// light weight cost the next, heavier set half of its own. That is an
// assumption, with no published source.
//
// The zero value is the single exponential with a = 0.6425048 and tau =
// 223.71301 s, a pooled exploratory fit to the totals of Senna 2009,
// Willardson and Burkett 2005, Lopes 2018 and Hernandez 2021. They are starting
// values; put a lifter's own in. [BiExponential] is an alternative. How well
// both do is told in the package comment.
type Recovery struct {
	// A and Tau are the share that recovers and its time constant in seconds.
	// Default, if A, Tau, B and TauSlow are all 0: 0.6425048 and 223.71301.
	A, Tau float64
	// B and TauSlow are a second, slower share. Default 0: none. A+B is at
	// most 1; what is left recovers at once.
	B, TauSlow float64
	// ModelError is the standard deviation, as a fraction, of the capacity
	// predicted after a set to failure and a rest; after less than failure it
	// counts in proportion to the capacity spent. Default 0.125, in the middle
	// of the 10 to 15 % that the model is off published totals. Negative: none.
	ModelError float64
	// Coverage of the interval from Low to High, more than 0 and less than 1,
	// taking errors as normal. Default 0.8.
	Coverage float64
	// MinRest is the shortest rest in seconds that the model answers for,
	// except for no rest at all, which restores nothing. Default 30, the
	// shortest in the totals it was fitted to. Negative: any.
	MinRest float64
	// MaxReserve is the largest reserve that still counts as near failure.
	// Default 6, the most that the RIR-based scale of perceived exertion counts
	// in repetitions (Zourdos et al. 2016, looked-up in a secondary source).
	MaxReserve float64
}

// BiExponential is the recovery that was measured for W-prime in cycling:
// 50.67 % with 21.5 s and 49.33 % with 388 s (Chorley et al. 2022, looked-up
// from the abstract; large spread between people). At the second recovery the
// slow time constant was 716 s. Nobody has measured it for repetitions with a
// barbell.
func BiExponential() Recovery {
	return Recovery{A: 0.5067, Tau: 21.5, B: 0.4933, TauSlow: 388}
}

func (m Recovery) filled() (Recovery, error) {
	if m.A == 0 && m.Tau == 0 && m.B == 0 && m.TauSlow == 0 {
		m.A, m.Tau = 0.6425048, 223.71301
	}
	def := func(x *float64, d float64) {
		if *x == 0 {
			*x = d
		} else if *x < 0 {
			*x = 0
		}
	}
	if !num.Finite(m.ModelError, m.MinRest, m.MaxReserve, m.Coverage) {
		return m, &FieldError{"recovery", math.NaN(), "finite settings"}
	}
	def(&m.ModelError, 0.125)
	def(&m.MinRest, 30)
	if m.MaxReserve == 0 {
		m.MaxReserve = 6
	}
	if m.Coverage == 0 {
		m.Coverage = 0.8
	}
	switch {
	case !(m.A >= 0 && m.A <= 1):
		return m, &FieldError{"recovery.a", m.A, "0 to 1"}
	case !(m.B >= 0 && m.A+m.B <= 1+1e-12):
		return m, &FieldError{"recovery.b", m.B, "0 or more, and with a at most 1"}
	case !(m.Tau > 0 || m.A == 0 && m.Tau == 0) || math.IsInf(m.Tau, 0):
		return m, &FieldError{"recovery.tau", m.Tau, "seconds, more than 0"}
	case !(m.TauSlow > 0 || m.B == 0 && m.TauSlow == 0) || math.IsInf(m.TauSlow, 0):
		return m, &FieldError{"recovery.tau_slow", m.TauSlow, "seconds, more than 0"}
	case m.ModelError > 1:
		return m, &FieldError{"recovery.model_error", m.ModelError, "a fraction up to 1"}
	case !(m.Coverage > 0 && m.Coverage < 1):
		return m, &FieldError{"recovery.coverage", m.Coverage, "more than 0 and less than 1"}
	case m.MaxReserve < 0:
		return m, &FieldError{"recovery.max_reserve", m.MaxReserve, "repetitions, 0 or more"}
	}
	return m, nil
}

// Restored is R, the fraction of the missing capacity that a rest restores. No
// rest restores nothing.
func (m Recovery) Restored(seconds float64) (float64, error) {
	m, err := m.filled()
	if err != nil {
		return 0, err
	}
	if !num.Finite(seconds) || seconds < 0 {
		return 0, &FieldError{"seconds", seconds, "0 or more"}
	}
	return 1 - m.missing(seconds), nil
}

// missing is 1-R: what a rest leaves of a deficit.
func (m Recovery) missing(t float64) float64 {
	if t == 0 {
		return 1
	}
	q := 0.0
	if m.A > 0 {
		q += m.A * math.Exp(-t/m.Tau)
	}
	if m.B > 0 {
		q += m.B * math.Exp(-t/m.TauSlow)
	}
	return min(q, 1)
}

// z is the normal quantile of the upper end of the interval.
func (m Recovery) z() float64 { return math.Sqrt2 * math.Erfinv(m.Coverage) }
