package taper

import "testing"

func TestErrors(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&FieldError{"days", 0, "1 to 365"}, "taper: days: want 1 to 365, got 0"},
		{&NoSolutionError{Shape: Linear, Days: 14, Field: "mean cut", Value: 0.8, High: 0.5, HighIncluded: true},
			"taper: mean cut: no linear taper of 14 days gives 80 %; it must be above 0 % and at most 50 %"},
		{&NoSolutionError{Shape: Exponential, Days: 7, Field: "final cut", Value: 1, Low: 0.25, High: 0.75},
			"taper: final cut: no exponential taper of 7 days gives 100 %; it must be above 25 % and below 75 %"},
		{&NameError{"lift", "curl", []string{"squat", "bench press"}}, `taper: no lift is called "curl"; choose from squat, bench press`},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("%T: %q, want %q", c.err, got, c.want)
		}
	}
}
