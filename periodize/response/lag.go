package response

import "math"

// Influence is the effect on performance of one unit of load done u days
// earlier (u >= 0; not a number or negative gives 0),
//
//	L(u) = K1 exp(-u/Tau1) - K2 exp(-u/Tau2)
//
// (Fitz-Clarke, Morton and Banister 1991, J Appl Physiol 71(3):1151-1158; the
// form is from memory, the values are derived from it).
func (m TwoComponent) Influence(u float64) float64 {
	if !(u >= 0) || m.Check() != nil {
		return 0
	}
	return float64(m.K1*math.Exp(-u/m.Tau1)) - float64(m.K2*math.Exp(-u/m.Tau2))
}

// BreakEven is tn, the days after one session when its effect turns from harm
// to benefit,
//
//	tn = Tau1 Tau2/(Tau1 - Tau2) ln(K2/K1)
//
// (Fitz-Clarke, Morton and Banister 1991). The error is a *NoLagError where
// there is no such day: K2 <= K1, so that a session never does harm first;
// Tau1 <= Tau2, so that harm never ends; no gain of fitness. It is a
// *FieldError for parameters out of range.
func (m TwoComponent) BreakEven() (float64, error) {
	if err := m.Check(); err != nil {
		return 0, err
	}
	switch {
	case m.K1 == 0:
		return 0, &NoLagError{"break-even", "the gain of fitness is 0"}
	case m.K2 <= m.K1:
		return 0, &NoLagError{"break-even", "the gain of fatigue is not above that of fitness, so there is no negative phase"}
	case m.Tau1 <= m.Tau2:
		return 0, &NoLagError{"break-even", "fatigue does not fade faster than fitness"}
	}
	return m.rate() * math.Log(m.K2/m.K1), nil
}

// PeakBenefit is tg, the days after one session when its benefit is greatest,
// and that benefit for one unit of load,
//
//	tg = Tau1 Tau2/(Tau1 - Tau2) ln(K2 Tau1/(K1 Tau2))
//
// (Fitz-Clarke, Morton and Banister 1991). Where K2 Tau1 <= K1 Tau2 the benefit
// only falls and tg is 0. The error is a *NoLagError for Tau1 <= Tau2 or no
// gain of fitness and a *FieldError for parameters out of range.
func (m TwoComponent) PeakBenefit() (days, benefit float64, err error) {
	if err := m.Check(); err != nil {
		return 0, 0, err
	}
	switch {
	case m.K1 == 0:
		return 0, 0, &NoLagError{"peak", "the gain of fitness is 0"}
	case m.Tau1 <= m.Tau2:
		return 0, 0, &NoLagError{"peak", "fatigue does not fade faster than fitness"}
	case float64(m.K2*m.Tau1) <= float64(m.K1*m.Tau2):
		return 0, m.Influence(0), nil
	}
	days = m.rate() * (math.Log(m.K2/m.K1) + math.Log(m.Tau1/m.Tau2))
	return days, m.Influence(days), nil
}

// RestPeak is how many days of complete rest raise performance most after the
// given state. From a steady state it is near tn, and tends to it as the time
// step shrinks. It shows a defect of the model: by it nothing beats complete
// rest. Zero where rest only lets performance fall. Errors as for [TwoComponent.PeakBenefit].
func (m TwoComponent) RestPeak(after State) (float64, error) {
	if _, _, err := m.PeakBenefit(); err != nil {
		return 0, err
	}
	if err := after.check(); err != nil {
		return 0, err
	}
	a, b := m.K1*after.Fitness, m.K2*after.Fatigue
	if !(a > 0 && b > 0) || float64(b*m.Tau1) <= float64(a*m.Tau2) {
		return 0, nil
	}
	return m.rate() * (math.Log(b/a) + math.Log(m.Tau1/m.Tau2)), nil
}

// rate is Tau1 Tau2/(Tau1 - Tau2) for Tau1 > Tau2, in an order that neither
// overflows nor loses digits when they are close.
func (m TwoComponent) rate() float64 { return m.Tau2 / ((m.Tau1 - m.Tau2) / m.Tau1) }
