package main

import (
	"net/http/httptest"
	"testing"
)

func TestServe(t *testing.T) {
	bar, err := newBar()
	if err != nil {
		t.Fatal(err)
	}
	const want = "want max=MASS above 0, such as 142.5kg or 315lb, and percent=NUMBER once or more, got "
	for _, tt := range []struct {
		query  string
		status int
		body   string
	}{
		// By hand: 72.5 % of 142.5 is 103.3, 85 % is 121.1; the gym has 100 and 120, and 125 next.
		{"max=142.5kg&percent=72.5&percent=85", 200,
			`[{"percent":"72.5","load":"100kg","side":["25kg","10kg","2.5kg","2.5kg"]},{"percent":"85","load":"120kg","side":["25kg","25kg"]}]`},
		// A bare number is in kilograms; a maximum in pounds is as good: 70 % of 315 lb is 100.02 kg.
		{"max=100&percent=45", 200, `[{"percent":"45","load":"45kg","side":["10kg","2.5kg"]}]`},
		{"max=315lb&percent=70", 200, `[{"percent":"70","load":"100kg","side":["25kg","10kg","2.5kg","2.5kg"]}]`},
		{"max=30&percent=50", 200, `[{"percent":"50","load":"20kg","side":[],"below_minimum":true}]`},
		{"max=500&percent=90", 200, `[{"percent":"90","load":"150kg","side":["25kg","25kg","10kg","2.5kg","2.5kg"],"above_stock":true}]`},

		{"", 400, want + `""`},
		{"max=heavy&percent=70", 400, want + `"max=heavy&percent=70"`},
		{"max=-80kg&percent=70", 400, want + `"max=-80kg&percent=70"`},
		{"max=NaN&percent=70", 400, want + `"max=NaN&percent=70"`},
		{"max=80kg", 400, want + `"max=80kg"`},
		{"max=80kg&percent=70&percent=-5", 400, `percent: want a number above 0 and at most 120, got "-5"`},
		{"max=80kg&percent=1e9", 400, `percent: want a number above 0 and at most 120, got "1e9"`},
		{"max=80kg&percent=%zz", 400, `invalid URL escape "%zz"`},
	} {
		w := httptest.NewRecorder()
		handler{bar}.ServeHTTP(w, httptest.NewRequest("GET", "/weights?"+tt.query, nil))
		if w.Code != tt.status || w.Body.String() != tt.body+"\n" {
			t.Errorf("%s: %d %s\nwant %d %s", tt.query, w.Code, w.Body, tt.status, tt.body)
		}
		kind := "application/json"
		if tt.status != 200 {
			kind = "text/plain; charset=utf-8"
		}
		if got := w.Header().Get("Content-Type"); got != kind {
			t.Errorf("%s: content type %s, want %s", tt.query, got, kind)
		}
	}
}
