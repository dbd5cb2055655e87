package periodize

import (
	"strconv"
	"strings"

	"github.com/blockwright/blockwright/plates"
)

// Words says in words where a weight came from, such as "72.5% of 101.5 kg" or
// "12% under the heaviest set, 87.3 kg", with masses in the unit given. It is
// empty for a set without a weight of any kind.
func (o Origin) Words(u plates.Unit) string {
	// A weight planned in the other unit is no rounder for two decimals.
	step := u.One() / 100
	if base := plates.ExactOf(o.Working); o.Working != 0 && base.RoundTo(step, plates.Nearest) != o.Working ||
		o.Working == 0 && o.Heavy.RoundTo(step, plates.Nearest) != o.Heavy.RoundTo(1, plates.Nearest) {
		step = u.One() / 10
	}
	mass := func(m plates.Mass) string {
		return plates.ExactOf(m).RoundTo(step, plates.Nearest).Text(u) + " " + u.String()
	}
	var b strings.Builder
	switch o.Kind {
	case ByPercent:
		b.WriteString(percentText(o.Value))
		if o.Working != 0 {
			b.WriteString(" of " + mass(o.Working))
		}
	case ByRIR:
		b.WriteString(valueText(o.Value) + " in reserve")
		if o.Working != 0 {
			b.WriteString(" from " + mass(o.Working))
		}
	case ByRPE:
		b.WriteString("RPE " + valueText(o.Value))
		if o.Working != 0 {
			b.WriteString(" from " + mass(o.Working))
		}
	case ByLoad:
		if v := plates.Mass(o.Value.RoundHalfUp()); v > 0 {
			b.WriteString(mass(v) + " as written")
		} else {
			b.WriteString("weight as written")
		}
	case ByDrop:
		b.WriteString(percentText(o.Value) + " under the heaviest set")
		if x := o.Heavy.RoundTo(step, plates.Nearest); x != 0 {
			b.WriteString(" (" + mass(x) + ")")
		}
	}
	also := func(s string) {
		if b.Len() > 0 {
			b.WriteString(", ")
		}
		b.WriteString(s)
	}
	if o.Of != "" {
		b.WriteString(", " + o.Of)
	}
	if o.Spread.Sign() != 0 {
		also(signed(o.Spread) + " points for the spread")
	}
	if o.Adjusted.Sign() != 0 {
		also(signed(o.Adjusted) + "% by the roster")
		if o.Why != "" {
			b.WriteString(" (" + o.Why + ")")
		}
	}
	if o.Held.Sign() != 0 {
		also(o.Held.String() + "% of the last week's weight")
	}
	return b.String()
}

func signed(r plates.Ratio) string {
	if r.Sign() > 0 {
		return "+" + r.String()
	}
	return r.String()
}

// valueText is a week's value for people: exact where decimals can say it, otherwise to two of them. A line between
// two values has thirds and sevenths, which nobody reads.
func valueText(v plates.Ratio) string {
	if s := v.String(); !strings.Contains(s, "/") {
		return s
	}
	return strconv.FormatFloat(v.Float64(), 'f', 2, 64)
}

func percentText(v plates.Ratio) string { return valueText(v) + "%" }
