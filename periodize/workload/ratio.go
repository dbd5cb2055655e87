package workload

import "github.com/blockwright/blockwright/internal/num"

// RatioEvidence is what may be said about acute:chronic ratios beside their numbers.
const RatioEvidence = "descriptive only: the bands in circulation come from injury in team sports, causal use is rejected (Impellizzeri 2020, secondary), and in elite weightlifters no index on the day related consistently to performance (Coyne 2021, looked-up)"

// Windows are the lengths, in days, that an acute:chronic ratio compares.
type Windows struct {
	Acute   int // default 7
	Chronic int // default 28; more than Acute
}

func (w Windows) filled() (Windows, error) {
	if w.Acute == 0 {
		w.Acute = 7
	}
	if w.Chronic == 0 {
		w.Chronic = 28
	}
	if w.Acute < 1 || w.Acute > 10000 {
		return w, &FieldError{"windows.acute", float64(w.Acute), "1 to 10000 days"}
	}
	if w.Chronic <= w.Acute || w.Chronic > 100000 {
		return w, &FieldError{"windows.chronic", float64(w.Chronic), "more days than the acute window, at most 100000"}
	}
	return w, nil
}

// Coupling says whether the chronic window holds the acute one.
type Coupling int

// The couplings. Coupled is the default.
const (
	Coupled   Coupling = iota // chronic window ends today: days t-27..t
	Uncoupled                 // chronic window ends where the acute one begins: days t-27..t-7
)

func (c Coupling) String() string {
	if c == Uncoupled {
		return "uncoupled"
	}
	return "coupled"
}

// DayRatio is an acute:chronic ratio on one day.
type DayRatio struct {
	Acute   float64 `json:"acute"`   // a day's load, mean of the acute window
	Chronic float64 `json:"chronic"` // a day's load, mean of the chronic window
	Ratio   Index   `json:"ratio"`   // Acute / Chronic
	// Early marks days on which the value still depends on how the averages
	// were started: the length of the chronic window, 28 days by default.
	Early bool `json:"early"`
}

func newDayRatio(acute, chronic float64, early bool) DayRatio {
	d := DayRatio{Acute: acute, Chronic: chronic, Early: early}
	if chronic == 0 {
		d.Ratio.Undefined = NoLoad
		return d
	}
	d.Ratio = index(acute/chronic, NoLoad)
	return d
}

// RollingRatios is the rolling acute:chronic ratio of each day of a run of
// days without gaps, rest days 0 (definitions looked-up: Windt and Gabbett
// 2019). Until the chronic window is full the day has no ratio and is early.
// It describes and gives no verdict; see [RatioEvidence]. Coupling alone makes
// acute and chronic load correlate by about 0.5 (Lolli et al. 2019, looked-up
// through Windt and Gabbett).
func RollingRatios(daily []float64, c Coupling, w Windows) ([]DayRatio, error) {
	w, err := w.filled()
	if err != nil {
		return nil, err
	}
	if c != Coupled && c != Uncoupled {
		return nil, &FieldError{"coupling", float64(c), "Coupled or Uncoupled"}
	}
	if err := checkLoads(daily); err != nil {
		return nil, err
	}
	out := make([]DayRatio, len(daily))
	for t := range daily {
		if t+1 < w.Chronic {
			out[t] = DayRatio{Ratio: Index{Undefined: TooFewDays}, Early: true}
			if t+1 >= w.Acute {
				out[t].Acute = total(daily[t+1-w.Acute:t+1]) / float64(w.Acute)
			}
			continue
		}
		// Each window is summed afresh: a running difference would leave
		// rounding behind where a window of rest should be exactly 0.
		acute := total(daily[t+1-w.Acute:t+1]) / float64(w.Acute)
		from, to := t+1-w.Chronic, t+1
		if c == Uncoupled {
			to -= w.Acute
		}
		out[t] = newDayRatio(acute, total(daily[from:to])/float64(to-from), false)
	}
	return out, nil
}

// Seed says what an exponentially weighted average starts from. The choice
// shows for weeks.
type Seed int

// The seeds. FirstLoad is the default.
const (
	FirstLoad Seed = iota // the average of day 1 is the load of day 1
	FromZero              // the average before day 1 is 0
	FromMean              // the average before day 1 is the mean of the first chronic window (or of all days, if fewer)
)

func (s Seed) String() string {
	switch s {
	case FromZero:
		return "zero"
	case FromMean:
		return "mean"
	}
	return "first load"
}

// Lambda is the weight of today's load in an exponentially weighted average
// over n days, 2/(n+1) (Williams et al. 2017): 0.25 for 7 days. The n is not a
// time constant: the half-life is ln(0.5)/ln(1-lambda) days. An n below 1
// counts as 1.
func Lambda(n int) float64 { return 2 / (float64(max(n, 1)) + 1) }

// EWMARatios is the acute:chronic ratio of exponentially weighted averages,
//
//	E_t = lambda w_t + (1 - lambda) E_(t-1),  lambda = 2/(N+1)
//
// of each day of a run of days without gaps, rest days 0 (Williams et al. 2017,
// looked-up). Two athletes with the same weekly sums can differ in it. It
// describes and gives no verdict; see [RatioEvidence].
func EWMARatios(daily []float64, seed Seed, w Windows) ([]DayRatio, error) {
	w, err := w.filled()
	if err != nil {
		return nil, err
	}
	if seed < FirstLoad || seed > FromMean {
		return nil, &FieldError{"seed", float64(seed), "FirstLoad, FromZero or FromMean"}
	}
	if err := checkLoads(daily); err != nil {
		return nil, err
	}
	out := make([]DayRatio, len(daily))
	if len(daily) == 0 {
		return out, nil
	}
	start := 0.0
	switch seed {
	case FirstLoad:
		// An average that equals the first load before day 1 equals it on day 1.
		start = daily[0]
	case FromMean:
		head := daily[:min(w.Chronic, len(daily))]
		start = total(head) / float64(len(head))
	}
	la, lc := Lambda(w.Acute), Lambda(w.Chronic)
	acute, chronic := start, start
	for t, x := range daily {
		acute += la * (x - acute)
		chronic += lc * (x - chronic)
		out[t] = newDayRatio(acute, chronic, t < w.Chronic)
	}
	return out, nil
}

// Couple turns an uncoupled ratio u into the coupled one of the same days,
// c = n u / (u + n - 1) with n acute windows in a chronic one, 4 by default.
func (w Windows) Couple(u float64) (float64, error) {
	w, err := w.filled()
	if err != nil {
		return 0, err
	}
	if !num.Finite(u) || u < 0 {
		return 0, &FieldError{"ratio", u, "0 or more"}
	}
	n := float64(w.Chronic) / float64(w.Acute)
	if u > 1e100 {
		return n, nil
	}
	return n * u / (u + n - 1), nil
}

// Uncouple turns a coupled ratio c into the uncoupled one of the same days,
// u = (n-1) c / (n - c). A coupled ratio is always below n, 4 by default.
func (w Windows) Uncouple(c float64) (float64, error) {
	w, err := w.filled()
	if err != nil {
		return 0, err
	}
	n := float64(w.Chronic) / float64(w.Acute)
	if !(c >= 0 && c < n) {
		return 0, &FieldError{"ratio", c, "0 or more, below chronic / acute days"}
	}
	return (n - 1) * c / (n - c), nil
}
