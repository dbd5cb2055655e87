package response

import "testing"

func TestErrors(t *testing.T) {
	for _, c := range []struct {
		err  error
		want string
	}{
		{&FieldError{"load[3]", -1, "0 or more"}, "response: load[3]: want 0 or more, got -1"},
		{&NoLagError{"peak", "its benefit only falls"}, "response: no peak day: its benefit only falls"},
		{&TooFewError{3, 12, 20, 60}, "response: 3 tests in 20 days cannot support a fit; want at least 12 tests over 60 days"},
		{&NameError{"model", "three", []string{"one", "two"}}, `response: no model is called "three"; choose from one, two`},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("%T: %q, want %q", c.err, got, c.want)
		}
	}
}
