package estimate

import "testing"

func TestErrorsSayWhatIsWanted(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&TooFewError{"pairs", 2, 3}, "estimate: pairs: want at least 3, got 2"},
		{&BoundOnlyError{}, "estimate: no set was lifted; give a set with its reserve, a tested single or a prior maximum"},
		{&BoundOnlyError{AtLeast: 81.25}, "estimate: no set tells how near to failure it was, so that the maximum is only known to be about 81.25 or more; give the reserve of a set, a tested single or a prior maximum"},
		{&NameError{Kind: "curve", Name: "bell", Choices: []string{"general"}}, `estimate: no curve is called "bell" (choices: general)`},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("%T: %q, want %q", c.err, got, c.want)
		}
	}
}
