package periodize

import (
	"strings"

	"github.com/blockwright/blockwright/plates"
)

// Words says in words where a weight came from, such as "72.5% of 101.5 kg" or
// "12% under the heaviest set, 87.3 kg", with masses in the unit given. It is
// empty for a set without a weight of any kind.
func (o Origin) Words(u plates.Unit) string {
	mass := func(m plates.Mass) string {
		return plates.ExactOf(m).RoundTo(u.One()/100, plates.Nearest).Text(u) + " " + u.String()
	}
	var b strings.Builder
	switch o.Kind {
	case ByPercent:
		b.WriteString(o.Value.String() + "%")
		if o.Working != 0 {
			b.WriteString(" of " + mass(o.Working))
		}
	case ByRIR:
		b.WriteString(o.Value.String() + " in reserve")
		if o.Working != 0 {
			b.WriteString(" from " + mass(o.Working))
		}
	case ByRPE:
		b.WriteString("effort " + o.Value.String())
		if o.Working != 0 {
			b.WriteString(" from " + mass(o.Working))
		}
	case ByLoad:
		b.WriteString("weight as written")
	case ByDrop:
		b.WriteString(o.Value.String() + "% under the heaviest set")
		if x := o.Heavy.RoundTo(u.One()/100, plates.Nearest); x != 0 {
			b.WriteString(" (" + mass(x) + ")")
		}
	}
	for _, c := range o.Changes {
		if b.Len() > 0 {
			b.WriteString(", ")
		}
		b.WriteString(c)
	}
	return b.String()
}
