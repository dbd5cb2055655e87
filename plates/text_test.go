package plates

import (
	"encoding"
	"encoding/json"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Each text stands for the value, and reads back as it.
func TestMarshalText(t *testing.T) {
	third, _ := NewRatio(1, 3)
	long, _ := NewRatio(math.MaxInt64, 2) // its decimals are more than ParseRatio reads
	for _, tt := range []struct {
		v    encoding.TextMarshaler
		want string
	}{
		{1425 * Kilogram / 10, "142.5kg"},
		{-45 * Pound, "-45lb"},
		{Mass(0), "0kg"},
		{massLimit, "1000000kg"},
		{WholeRatio(72), "72"},
		{Ratio{}, "0"},
		{third, "1/3"},
		{third.Neg(), "-1/3"},
		{long, "9223372036854775807/2"},
		{Exact{}, "0kg"},
		{ExactOf(725 * Kilogram / 10), "72.5kg"},
		{(200 * Kilogram).Times(third), "200/3kg"},
		{(200 * Kilogram).Times(third.Neg()), "-200/3kg"},
		{KG, "kg"}, {LB, "lb"},
		{Nearest, "nearest"}, {Down, "down"}, {Up, "up"}, {NearestUp, "nearest up"},
		{Descending, "desc"}, {Free, "free"},
	} {
		text, err := tt.v.MarshalText()
		if err != nil || string(text) != tt.want {
			t.Errorf("%#v: %q, %v; want %q", tt.v, text, err, tt.want)
		}
		back := reflect.New(reflect.TypeOf(tt.v))
		if err := back.Interface().(encoding.TextUnmarshaler).UnmarshalText(text); err != nil || !reflect.DeepEqual(back.Elem().Interface(), tt.v) {
			t.Errorf("%q reads back as %#v, %v; want %#v", text, back.Elem(), err, tt.v)
		}
	}
	for _, v := range []encoding.TextMarshaler{massLimit + 1, Mass(math.MinInt64), ExactOf(massLimit + 1), (massLimit + 1).Times(third.Add(third).Add(third)),
		(2 * massLimit).Times(long), Unit(2), Rounding(4), Order(2)} {
		var parse *ParseError
		var field *FieldError
		if text, err := v.MarshalText(); !errors.As(err, &parse) && !errors.As(err, &field) {
			t.Errorf("%#v: %q, %v; want a typed error", v, text, err)
		}
	}
}

// A text that is refused leaves the value as it was.
func TestTextRefused(t *testing.T) {
	unchanged := func(to encoding.TextUnmarshaler, texts ...string) {
		t.Helper()
		was := reflect.ValueOf(to).Elem().Interface()
		for _, text := range texts {
			var parse *ParseError
			if err := to.UnmarshalText([]byte(text)); !errors.As(err, &parse) || parse.Text != text {
				t.Errorf("%q: %v, want a *ParseError that quotes it", text, err)
			}
			if now := reflect.ValueOf(to).Elem().Interface(); now != was {
				t.Errorf("%q leaves %v, want %v", text, now, was)
			}
		}
	}
	m, r, x, u, how, order := 60*Kilogram, WholeRatio(72), ExactOf(60*Kilogram), LB, Up, Free
	unchanged(&m, "", "60", "1e3kg", "1425000000000", "1000001kg", "1/3kg")
	unchanged(&r, "", "1e2", "1/0", "/", "/3", "1/", "1/-3", "+1/3", "1/+3", "1/3/3", "0x1/3", "1_0/3", " 1/3", "-9223372036854775808/3", "1/9223372036854775808")
	unchanged(&x, "", "60", "200/3", "200/3lb", "1/0kg", "/kg", "1//3kg", "--1/3kg", "1/-3kg", "1e9/3kg", "0x1/3kg", "4000000/3kg", strings.Repeat("1", 80)+"/3kg")
	unchanged(&u, "", "KG", "0")
	unchanged(&how, "", "Up", "2")
	unchanged(&order, "", "0")
	for _, text := range []string{"60", "1425000000000", "1.5"} {
		if err := json.Unmarshal([]byte(text), &m); err == nil {
			t.Errorf("the bare number %s is read as %v", text, m)
		}
	}
}

// What is written is read back as the same value, for all that arithmetic leads to.
func TestTextComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(-math.MaxInt64, math.MaxInt64).Draw(t, "n")
		d := rapid.Int64Range(1, math.MaxInt64).Draw(t, "d")
		if rapid.Bool().Draw(t, "small") {
			n, d = n%2000, d%1000+1
		}
		r, err := NewRatio(n, d)
		if err != nil {
			t.Fatal(err)
		}
		m := Mass(rapid.Int64Range(int64(-massLimit), int64(massLimit)).Draw(t, "m"))
		x := m.Percent(r)
		type all struct {
			M Mass
			R Ratio
			X Exact
		}
		v := all{m, r, x}
		if x.Cmp(massLimit) > 0 || x.Neg().Cmp(massLimit) > 0 {
			v.X = Exact{}
		}
		b, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		var back all
		if err := json.Unmarshal(b, &back); err != nil || back != v {
			t.Errorf("%s reads back as %+v, %v; want %+v", b, back, err, v)
		}
	})
}

func TestParseInventory(t *testing.T) {
	for _, tt := range []struct {
		in   string
		unit Unit
		out  string
	}{
		{"25:4,20:4", KG, "25kg:4,20kg:4"},
		{" 45lb : 2 , 20 lb:2", KG, "45lb:2,20lb:2"},
		{"45:2,20kg:2,1.25:0", LB, "45lb:2,20kg:2,1.25lb:0"},
		{"20.41165665:2,45lb:2", KG, "20.41165665kg:2,45lb:2"}, // of one mass, stamped differently
	} {
		inv, err := ParseInventory(tt.in, tt.unit)
		if err != nil || inv.String() != tt.out {
			t.Errorf("%q: %v, %v; want %s", tt.in, inv, err, tt.out)
		}
	}
	for in, want := range map[string]string{
		"":              `plates: want sizes and how many there are, such as 25:4,10:4, got ""`,
		"25:4,":         `plates: want sizes and how many there are, such as 25:4,10:4, got ""`,
		"25":            `plates: want sizes and how many there are, such as 25:4,10:4, got "25"`,
		"25:4,25.0kg:2": `plates: want each size of plate once, got "25.0kg"`,
		"0:4":           `plates: want the size of a plate over 0, such as 20 or 45lb, got "0"`,
		"-5:4":          `plates: want the size of a plate over 0, such as 20 or 45lb, got "-5"`,
		"25:-2":         `plates: want how many of 25 there are, from 0 to 10000, got "-2"`,
		"25:10001":      `plates: want how many of 25 there are, from 0 to 10000, got "10001"`,
		"25:1.5":        `plates: want how many of 25 there are, from 0 to 10000, got "1.5"`,
		"25:4:2":        `plates: want how many of 25 there are, from 0 to 10000, got "4:2"`,
	} {
		inv, err := ParseInventory(in, KG)
		var parse *ParseError
		if inv != nil || !errors.As(err, &parse) || err.Error() != want {
			t.Errorf("%q: %v, %v; want %s", in, inv, err, want)
		}
	}
}

func FuzzParseInventory(f *testing.F) {
	for _, s := range []string{"25:4,20:4", "45lb:2", "25", ":", "0:2", "25:4,25:4", " 25 : 4 ", "1.234lb:2", "25:+4"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		inv, err := ParseInventory(s, LB)
		if err != nil {
			return
		}
		for _, p := range inv {
			if p.Mass <= 0 || p.Mass > massLimit || p.Count < 0 || p.Count > maxCount {
				t.Errorf("%q: %v", s, p)
			}
			if !exactIn(p.Mass, p.Unit) {
				return // the text of such a pound plate is rounded
			}
		}
		if again, err := ParseInventory(inv.String(), KG); err != nil || !reflect.DeepEqual(again, inv) {
			t.Errorf("%q reads as %v, and that as %v, %v", s, inv, again, err)
		}
	})
}

// Text of all kinds is refused or comes back.
func FuzzUnmarshalText(f *testing.F) {
	for _, s := range []string{"142.5kg", "200/3kg", "-1/3", "57.5", "kg", "nearest up", "1e9/3kg", "1/0", "9223372036854775807/2", "desc"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, v := range []encoding.TextUnmarshaler{new(Mass), new(Ratio), new(Exact), new(Unit), new(Rounding), new(Order)} {
			if v.UnmarshalText([]byte(s)) != nil {
				continue
			}
			text, err := v.(encoding.TextMarshaler).MarshalText()
			if err != nil {
				t.Errorf("%q is read as %T, which cannot be written: %v", s, v, err)
				continue
			}
			again := reflect.New(reflect.TypeOf(v).Elem()).Interface().(encoding.TextUnmarshaler)
			if err := again.UnmarshalText(text); err != nil || !reflect.DeepEqual(again, v) {
				t.Errorf("%q is read as %T and written as %q, which is read as %v, %v", s, v, text, again, err)
			}
		}
	})
}
