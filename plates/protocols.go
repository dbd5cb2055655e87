package plates

// Protocol is a way of warming up to a heavy load, in shares of the maximum.
type Protocol struct {
	Name   string
	Source string
	Have   string // how the figures were obtained: looked-up (in a named text or a summary of it), derived, common practice
	Steps  []ProtocolStep
}

// ProtocolStep is one set of a protocol. Where the source names one figure
// ("about half") it is taken with 5 points either way, which is our reading.
type ProtocolStep struct {
	Low, High         int    // per cent of the maximum
	RepsLow, RepsHigh int    // repetitions, from and to
	RestLow, RestHigh int    // seconds after the set; 0 where the source names none
	Note              string // where a step differs from the protocol's Have
}

// Reps is the middle of the step's range, halves up.
func (s ProtocolStep) Reps() int { return (s.RepsLow + s.RepsHigh + 1) / 2 }

// Rest is the middle of the step's rest in seconds. A step without a rest gets
// 60 s (common practice, no published source).
func (s ProtocolStep) Rest() int {
	if s.RestHigh == 0 {
		return 60
	}
	return (s.RestLow + s.RestHigh) / 2
}

// General is the protocol that is used where none is chosen: the two sets of
// Kraemer and Fry with the rests that other published tests give, and one set
// more for loads near the maximum.
func General() Protocol {
	return Protocol{
		Name:   "general",
		Source: "Kraemer WJ, Fry AC (1995) Strength testing, in Maud and Foster (eds) Physiological Assessment of Human Fitness, for shares and repetitions; rests of the NSCA and ACSM tests",
		Have:   "looked-up in summaries; put together here",
		Steps: []ProtocolStep{
			{Low: 40, High: 60, RepsLow: 5, RepsHigh: 10, RestLow: 60, RestHigh: 60},
			{Low: 60, High: 80, RepsLow: 3, RepsHigh: 5, RestLow: 120, RestHigh: 120},
			{Low: 80, High: 90, RepsLow: 1, RepsHigh: 2, RestLow: 120, RestHigh: 240, Note: "shares and repetitions are common practice, no published source"},
		},
	}
}

// Protocols is the published protocols and General, the first. They are tests of
// a maximum: the sets before the attempts. Where a source gives steps in per cent
// of the set before, they are reckoned back from the load that is warmed up for.
func Protocols() []Protocol {
	const (
		kraemer = "Kraemer WJ, Fry AC (1995) Strength testing, in Maud and Foster (eds) Physiological Assessment of Human Fitness"
		nsca    = "Haff GG, Triplett NT (eds) (2016) Essentials of Strength Training and Conditioning, 4th ed., 1RM protocol"
	)
	return []Protocol{
		General(),
		{Name: "kraemer-fry", Source: kraemer, Have: "looked-up in a summary", Steps: []ProtocolStep{
			{Low: 40, High: 60, RepsLow: 5, RepsHigh: 10},
			{Low: 60, High: 80, RepsLow: 3, RepsHigh: 5, RestLow: 180, RestHigh: 300},
		}},
		{Name: "acsm", Source: "ACSM protocol as described on a public health education page (2019)", Have: "looked-up", Steps: []ProtocolStep{
			{Low: 45, High: 55, RepsLow: 5, RepsHigh: 10, RestLow: 60, RestHigh: 60},
			{Low: 60, High: 80, RepsLow: 3, RepsHigh: 5},
		}},
		{Name: "laboratory", Source: "methods section of a pre/post training study on a protocol exchange (authors not shown)", Have: "looked-up", Steps: []ProtocolStep{
			{Low: 45, High: 55, RepsLow: 8, RepsHigh: 10, RestLow: 120, RestHigh: 120},
			{Low: 65, High: 75, RepsLow: 3, RepsHigh: 5},
		}},
		// The source steps up by 5-10 % (upper body) or 10-20 % (lower body)
		// three times: 100/1.10 = 91 and 100/1.05 = 95 for the last, and so on
		// back, rounded outwards.
		{Name: "nsca-upper", Source: nsca, Have: "looked-up in a summary; shares derived from its steps of 5-10 %", Steps: []ProtocolStep{
			{Low: 75, High: 87, RepsLow: 5, RepsHigh: 10, RestLow: 60, RestHigh: 60},
			{Low: 82, High: 91, RepsLow: 3, RepsHigh: 5, RestLow: 120, RestHigh: 120},
			{Low: 90, High: 96, RepsLow: 2, RepsHigh: 3, RestLow: 120, RestHigh: 240},
		}},
		{Name: "nsca-lower", Source: nsca, Have: "looked-up in a summary; shares derived from its steps of 10-20 %", Steps: []ProtocolStep{
			{Low: 57, High: 76, RepsLow: 5, RepsHigh: 10, RestLow: 60, RestHigh: 60},
			{Low: 69, High: 83, RepsLow: 3, RepsHigh: 5, RestLow: 120, RestHigh: 120},
			{Low: 83, High: 91, RepsLow: 2, RepsHigh: 3, RestLow: 120, RestHigh: 240},
		}},
	}
}
