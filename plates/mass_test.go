package plates

import (
	"errors"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The exact conversions and the ten-place quotients of testdata/mass-units.csv;
// each row names its source.
func TestUnits(t *testing.T) {
	exact, rounded := 0, 0
	for _, r := range table(t, "mass-units.csv") {
		m, err := ParseMass(strings.TrimSuffix(r["quantity"], " (avoirdupois)"))
		if err != nil {
			continue // rows on integer units
		}
		u := unit(t, r["unit"])
		if strings.HasPrefix(r["exactness"], "exact") {
			exact++
			if want := massIn(t, r["value"], u); m != want {
				t.Errorf("%s is %v, want %s %s", r["quantity"], m, r["value"], r["unit"])
			}
			continue
		}
		rounded++
		v, _ := new(big.Rat).SetString(r["value"])
		if got := math.Abs(m.In(u) - mustFloat(v)); got > 1e-10 {
			t.Errorf("%s is %v %s, want %s", r["quantity"], m.In(u), r["unit"], r["value"])
		}
	}
	if exact < 9 || rounded < 10 {
		t.Errorf("read only %d exact and %d rounded rows", exact, rounded)
	}
}

func mustFloat(x *big.Rat) float64 { f, _ := x.Float64(); return f }

func TestParseMass(t *testing.T) {
	for _, c := range []struct {
		in   string
		want Mass
		out  string
	}{
		{"142.5kg", 1425 * Kilogram / 10, "142.5kg"},
		{"45 lb", 45 * Pound, "45lb"},
		{"20.41165665kg", 45 * Pound, "45lb"},
		{"0.0kg", 0, "0kg"},
		{"0lb", 0, "0kg"},
		{"-7.5kg", -75 * Kilogram / 10, "-7.5kg"},
		{"1.25lb", 5 * Pound / 4, "1.25lb"},
		{"0.25kg", Kilogram / 4, "0.25kg"},
		{"0.0000000001kg", 1, "0.0000000001kg"},
		{"220.4622621849lb", 100 * Kilogram, "100kg"}, // ten decimals of 100/0.45359237
		{"1000000kg", 1_000_000 * Kilogram, "1000000kg"},
		{"060.50kg", 605 * Kilogram / 10, "60.5kg"},
	} {
		got, err := ParseMass(c.in)
		if err != nil || got != c.want {
			t.Errorf("%q: %d, %v; want %d", c.in, got, err, c.want)
		}
		if s := got.String(); s != c.out {
			t.Errorf("%q prints as %q, want %q", c.in, s, c.out)
		}
	}
	for _, in := range []string{"", "kg", "60", "60 stone", "1e3kg", "0x10kg", "1_000kg", "NaNkg", "Infkg", "infinitykg", "1,5kg", ".5kg", "5.kg", "+5kg", "--5kg", "60  kg", " 60kg", "60KG", "1.2.3kg",
		"1000000.1kg", "99999999999999999999kg", "18446744073709551616kg", "0.00000000001kg", "٣kg"} {
		if m, err := ParseMass(in); err == nil {
			t.Errorf("%q is read as %v", in, m)
		} else if e := (*ParseError)(nil); !errors.As(err, &e) || e.Text != in {
			t.Errorf("%q: %v does not quote it", in, err)
		}
	}
	if _, err := ParseMass("60"); err.Error() != `plates: want a mass with its unit, such as 60kg or 45lb, got "60"` {
		t.Error(err)
	}
	if m, u, err := ParseMassIn("60", LB); m != 60*Pound || u != LB || err != nil {
		t.Error(m, u, err)
	}
	if m, u, err := ParseMassIn("60kg", LB); m != 60*Kilogram || u != KG || err != nil {
		t.Error(m, u, err)
	}
}

func TestMassOf(t *testing.T) {
	for _, c := range []struct {
		v    float64
		u    Unit
		want Mass
	}{
		{142.5, KG, 1425 * Kilogram / 10}, {0.1, KG, Kilogram / 10}, {102.3, KG, 1023 * Kilogram / 10}, {45, LB, 45 * Pound}, {-2.5, LB, -5 * Pound / 2},
		{1e-10, KG, 1}, {4e-11, KG, 0}, {6e-11, KG, 1}, {1.0 / 3, KG, 3333333333}, {1e6, KG, 1_000_000 * Kilogram}, {math.SmallestNonzeroFloat64, LB, 0},
	} {
		if got, err := MassOf(c.v, c.u); got != c.want || err != nil {
			t.Errorf("%v %v: %d, %v; want %d", c.v, c.u, got, err, c.want)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e7, -1e300, 1000000.5} {
		if m, err := MassOf(v, KG); err == nil {
			t.Errorf("%v is taken as %v", v, m)
		}
	}
}

func TestText(t *testing.T) {
	for _, c := range []struct {
		m    Mass
		u    Unit
		want string
	}{
		{45 * Pound, KG, "20.41165665"}, {45 * Pound, LB, "45"}, {100 * Kilogram, LB, "220.4623"}, {Kilogram, LB, "2.2046"}, {-Kilogram, LB, "-2.2046"},
		{5 * Pound / 4, LB, "1.25"}, {Pound / 100, LB, "0.01"}, {1, LB, "0"}, {0, LB, "0"}, {1425 * Kilogram / 10, KG, "142.5"}, {-Gram, KG, "-0.001"},
		{-1, LB, "0"},
	} {
		if got := c.m.Text(c.u); got != c.want {
			t.Errorf("%d in %v: %q, want %q", c.m, c.u, got, c.want)
		}
	}
	if got := (Plate{45 * Pound, LB}).Label(KG); got != "45lb" {
		t.Error(got)
	}
	if got := (Plate{20 * Kilogram, KG}).Label(KG); got != "20" {
		t.Error(got)
	}
}

func TestUnitAndRoundingText(t *testing.T) {
	for _, u := range []Unit{KG, LB} {
		if got, err := ParseUnit(u.String()); got != u || err != nil {
			t.Error(got, err)
		}
	}
	for _, r := range []Rounding{Nearest, Down, Up, NearestUp} {
		if got, err := ParseRounding(r.String()); got != r || err != nil {
			t.Error(got, err)
		}
	}
	if _, err := ParseUnit("st"); err.Error() != `plates: want the unit kg or lb, got "st"` {
		t.Error(err)
	}
	if _, err := ParseRounding("nearestup"); err.Error() != `plates: want the rounding nearest, down, up or nearest up, got "nearestup"` {
		t.Error(err)
	}
}

func TestRatios(t *testing.T) {
	for _, c := range []struct{ in, out string }{{"57.5", "57.5"}, {"-2.50", "-2.5"}, {"0", "0"}, {"-0", "0"}, {"100", "100"}, {"0.125", "0.125"}, {"0.000000000000000001", "0.000000000000000001"},
		{"999999999999999999", "999999999999999999"}, {"9.50", "9.5"}} {
		r, err := ParseRatio(c.in)
		if err != nil || r.String() != c.out {
			t.Errorf("%q: %v, %v", c.in, r, err)
		}
	}
	for _, in := range []string{"", "1/3", "1e2", "NaN", "0x1", "1_0", "9223372036854775808", "0.0000000000000000001", "."} {
		if r, err := ParseRatio(in); err == nil {
			t.Errorf("%q is read as %v", in, r)
		}
	}
	third := Ratio{1, 2}
	if third.String() != "1/3" || third.Add(third).Add(third) != WholeRatio(1) || (Ratio{}) != WholeRatio(0) {
		t.Error("thirds")
	}
	for v, want := range map[float64]string{57.5: "57.5", 0.1: "0.1", -2.25: "-2.25", 1e-19: "0", 66.66666666666667: "66.66666666666667", 1e17: "100000000000000000", 0.00012345678901234567: "0.000123456789012346"} {
		if r, err := RatioOf(v); err != nil || r.String() != want {
			t.Errorf("%v: %v, %v; want %s", v, r, err, want)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), 1e18} {
		if r, err := RatioOf(v); err == nil {
			t.Errorf("%v is taken as %v", v, r)
		}
	}
	for _, c := range [][2]int64{{1, 0}, {math.MinInt64, 1}, {1, math.MinInt64}} {
		if _, err := NewRatio(c[0], c[1]); err == nil {
			t.Errorf("%d/%d is taken", c[0], c[1])
		}
	}
	for in, want := range map[string]int64{"2.5": 3, "-2.5": -2, "2.4": 2, "-2.6": -3, "0.5": 1, "-0.5": 0, "7": 7} {
		if got := mustRatio(t, in).RoundHalfUp(); got != want {
			t.Errorf("%s rounds to %d, want %d", in, got, want)
		}
	}
	big := WholeRatio(math.MaxInt64)
	if big.Mul(big) != big || big.Neg().Mul(big) != big.Neg() || WholeRatio(1).Div(Ratio{}) != big || (Ratio{}).Div(Ratio{}) != (Ratio{}) || WholeRatio(-3).Div(Ratio{}) != big.Neg() {
		t.Error("results that do not fit do not saturate")
	}
	if r := WholeRatio(6).Div(WholeRatio(-4)); r.Num() != -3 || r.Den() != 2 || r.IsInt() || r.Float64() != -1.5 {
		t.Error(r)
	}
}

func drawRatio(t *rapid.T, name string) Ratio {
	bits := rapid.IntRange(1, 63).Draw(t, name+" bits")
	n := rapid.Int64Range(-(1<<bits-1), 1<<bits-1).Draw(t, name+" num")
	return ratio(t, n, rapid.Int64Range(1, 1<<bits-1).Draw(t, name+" den"))
}

// Every operation against math/big: equal where the result fits, within the
// documented distance where it does not.
func TestRatioAgainstBig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawRatio(t, "a"), drawRatio(t, "b")
		if got, want := a.Cmp(b), a.rat().Cmp(b.rat()); got != want {
			t.Fatalf("%v cmp %v: %d, want %d", a, b, got, want)
		}
		type op struct {
			got  Ratio
			want *big.Rat
		}
		ops := []op{{a.Add(b), new(big.Rat).Add(a.rat(), b.rat())}, {a.Sub(b), new(big.Rat).Sub(a.rat(), b.rat())}, {a.Mul(b), new(big.Rat).Mul(a.rat(), b.rat())}}
		if b.Sign() != 0 {
			ops = append(ops, op{a.Div(b), new(big.Rat).Quo(a.rat(), b.rat())})
		}
		for i, o := range ops {
			if o.got.rat().Cmp(o.want) == 0 {
				continue
			}
			if o.want.Num().IsInt64() && o.want.Denom().IsInt64() {
				t.Fatalf("op %d of %v and %v: %v, want %v", i, a, b, o.got, o.want)
			}
			limit := new(big.Rat).SetInt64(math.MaxInt64)
			size := new(big.Rat).Abs(o.want)
			if size.Cmp(limit) > 0 {
				if abs := o.got.Num(); abs != math.MaxInt64 && abs != -math.MaxInt64 || o.got.Sign() != o.want.Sign() {
					t.Fatalf("op %d of %v and %v: %v does not saturate", i, a, b, o.got)
				}
				continue
			}
			if size.Cmp(big.NewRat(1, 1)) < 0 {
				size.SetInt64(1)
			}
			off := new(big.Rat).Sub(o.got.rat(), o.want)
			if off.Abs(off).Cmp(size.Quo(size, new(big.Rat).SetInt64(1e17))) > 0 {
				t.Fatalf("op %d of %v and %v: %v is off by %v", i, a, b, o.got, off)
			}
		}
		want := new(big.Rat).Add(a.rat(), big.NewRat(1, 2))
		floor := new(big.Int).Div(want.Num(), want.Denom()) // Euclidean: the floor for a positive divisor
		if got := a.RoundHalfUp(); got != floor.Int64() {
			t.Fatalf("%v rounds to %d, want %v", a, got, floor)
		}
		f, _ := a.rat().Float64()
		if a.Float64() != f {
			t.Fatalf("%v as a float: %v, want %v", a, a.Float64(), f)
		}
	})
}

// Chains of products, sums and negations against math/big; comparing with
// masses and rounding stay exact whatever the denominators.
func TestExactAgainstBig(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Mass(rapid.Int64Range(-int64(500*Kilogram), int64(500*Kilogram)).Draw(t, "m"))
		p := drawRatio(t, "p")
		x := m.Percent(p)
		want := new(big.Rat).Mul(new(big.Rat).SetInt64(int64(m)), p.rat())
		want.Quo(want, big.NewRat(100, 1))
		if rapid.Bool().Draw(t, "shift") {
			s := Mass(rapid.Int64Range(-int64(500*Kilogram), int64(500*Kilogram)).Draw(t, "s"))
			x = x.Add(s).Neg()
			want.Neg(want.Add(want, new(big.Rat).SetInt64(int64(s))))
		}
		if size := new(big.Rat).Abs(want); size.Cmp(new(big.Rat).SetInt64(math.MaxInt64/4)) > 0 {
			return
		}
		floor := new(big.Int).Div(want.Num(), want.Denom()).Int64()
		for _, k := range []Mass{0, m, Mass(floor), Mass(floor) + 1} {
			if got, w := x.Cmp(k), want.Cmp(new(big.Rat).SetInt64(int64(k))); got != w {
				t.Fatalf("%v cmp %d: %d, want %d", want, k, got, w)
			}
		}
		f, _ := want.Float64()
		if got := x.In(KG); math.Abs(got-f/1e10) > 4e-16*math.Abs(f/1e10)+1e-28 {
			t.Fatalf("%v in kg: %v, want %v", want, got, f/1e10)
		}
		step := Mass(rapid.Int64Range(1, 1<<rapid.IntRange(1, 40).Draw(t, "bits")).Draw(t, "step"))
		if rapid.Bool().Draw(t, "tie") && floor%2 == 0 && floor > 0 {
			step = Mass(floor) * 2 // a half exactly, or just over
		}
		st := new(big.Rat).SetInt64(int64(step))
		q := new(big.Rat).Quo(want, st)
		for _, how := range []Rounding{Nearest, Down, Up, NearestUp} {
			got := new(big.Rat).SetInt64(int64(x.RoundTo(step, how)))
			got.Quo(got, st)
			d := new(big.Rat).Sub(q, got) // how far the result lies under the value, in steps
			half, one := big.NewRat(1, 2), big.NewRat(1, 1)
			ok := got.IsInt()
			switch how {
			case Down:
				ok = ok && d.Sign() >= 0 && d.Cmp(one) < 0
			case Up:
				ok = ok && d.Sign() <= 0 && new(big.Rat).Neg(d).Cmp(one) < 0
			case Nearest:
				ok = ok && d.Cmp(half) <= 0 && new(big.Rat).Neg(d).Cmp(half) < 0
			case NearestUp:
				ok = ok && d.Cmp(half) < 0 && new(big.Rat).Neg(d).Cmp(half) <= 0
			}
			if !ok {
				t.Fatalf("%v to a multiple of %d, %v: %v steps", want, step, how, got)
			}
		}
	})
}

func TestExactEdges(t *testing.T) {
	if (Kilogram.Percent(Ratio{1, 2})).Scale(Ratio{2, 0}).Scale(WholeRatio(150)) != ExactOf(Kilogram) {
		t.Error("a third of a per cent, 300 times")
	}
	big := Mass(math.MaxInt64)
	if x := big.Times(WholeRatio(2)); x != ExactOf(math.MaxInt64) {
		t.Errorf("%+v does not saturate", x)
	}
	if x := ExactOf(big).Add(1); x != ExactOf(math.MaxInt64) {
		t.Errorf("%+v does not saturate", x)
	}
	if x := ExactOf(-big).Add(-big).Neg(); x != ExactOf(math.MaxInt64) {
		t.Errorf("%+v does not saturate", x)
	}
	for _, how := range []Rounding{Nearest, Down, Up, NearestUp} {
		ExactOf(math.MaxInt64).RoundTo(Kilogram, how)
		ExactOf(math.MinInt64).RoundTo(Kilogram, how)
		ExactOf(math.MinInt64).Neg().RoundTo(0, how)
	}
}

func FuzzParseMass(f *testing.F) {
	for _, s := range []string{"142.5kg", "45 lb", "-7.5kg", "0.0000000001kg", "1e3kg", "NaNkg", "0x10kg", "1_0kg", "999999.9999999999lb", "220.462262185lb", "kg", "00.50lb", "60"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := ParseMass(s)
		if err != nil {
			return
		}
		again, err := ParseMass(m.String())
		if err != nil || again != m {
			t.Errorf("%q is %d, prints as %v, reads back as %d, %v", s, m, m, again, err)
		}
		kg, err := ParseMass(m.Text(KG) + "kg")
		if err != nil || kg != m {
			t.Errorf("%q in kg reads back as %d, %v", s, kg, err)
		}
		number, u, _ := cutUnit(s)
		want, ok := new(big.Rat).SetString(number)
		if !ok {
			t.Fatalf("%q is read, but is no number", s)
		}
		want.Mul(want, new(big.Rat).SetInt64(int64(u.One())))
		want.Sub(want, new(big.Rat).SetInt64(int64(m)))
		if limit := big.NewRat(1, 2); want.Abs(want).Cmp(limit) > 0 || u == KG && want.Sign() != 0 {
			t.Errorf("%q is %d, off by %v", s, m, want)
		}
	})
}

func FuzzParseRatio(f *testing.F) {
	for _, s := range []string{"57.5", "-2.5", "0", "999999999999999999", "0.000000000000000001", "1e2", "NaN", "1/3", "1_0", "00.10"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		r, err := ParseRatio(s)
		if err != nil {
			return
		}
		again, err := ParseRatio(r.String())
		if err != nil || again != r {
			t.Errorf("%q prints as %v, reads back as %v, %v", s, r, again, err)
		}
		want, ok := new(big.Rat).SetString(s)
		if !ok || want.Cmp(r.rat()) != 0 {
			t.Errorf("%q is %v", s, r)
		}
	})
}
