package blockfile

import (
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/plates"
)

// platesField is the plates of a gym: how many there are of each mass.
func platesField() field[periodize.Gym] {
	const want = "a mapping of plates to how many there are of each"
	count := whole(0, 10_000)
	return field[periodize.Gym]{
		key: "plates", doc: "how many of each plate there are; they go on in pairs", want: want,
		schema: func(s *schemas) object {
			return object{{"type", "object"}, {"minProperties", 1},
				{"propertyNames", object{{"pattern", `^[0-9]+(\.[0-9]{1,4})? ?(kg|lb)?$`}}},
				{"additionalProperties", count.schema(s)}}
		},
		read: func(p place, g *periodize.Gym) {
			pairs, ok := p.pairs(want)
			if !ok {
				return
			}
			if len(pairs) == 0 {
				p.fail("want %s, got none", want)
			}
			seen := map[plates.Plate]bool{}
			for _, kv := range pairs {
				plate, ok := kv.key.plate()
				n, fine := count.read(kv.value)
				switch {
				case !ok || !fine:
				case seen[plate]:
					kv.key.fail("the plate is given twice: want one count for all plates of a mass")
				default:
					seen[plate] = true
					g.Plates = append(g.Plates, plates.Stock{Plate: plate, Count: n})
				}
			}
		},
		write: func(e *encoder, g *periodize.Gym) *tree {
			if len(g.Plates) == 0 {
				return nil
			}
			t := &tree{kind: mapping}
			for _, s := range g.Plates {
				text, ok := inUnit(s.Mass, s.Unit)
				switch {
				case !ok:
					text = massText(s.Mass, s.Unit)
				case s.Unit != e.unit:
					text += s.Unit.String()
				}
				t.keys = append(t.keys, plain(text))
				t.nodes = append(t.nodes, plain(strconv.Itoa(s.Count)))
			}
			return t
		},
	}
}

// plate is a plate that is named by its mass, in quotes or not, as keys are.
func (p place) plate() (plates.Plate, bool) {
	const want = "a plate by its mass, such as 25 or 45lb, with at most 4 decimals"
	bare := *p.node
	bare.Style &^= yaml.DoubleQuotedStyle | yaml.SingleQuotedStyle
	q := place{p.r, &bare, p.path}
	m, ok := q.mass(want)
	if !ok {
		return plates.Plate{}, false
	}
	unit := p.r.unit
	for _, u := range units {
		if strings.HasSuffix(p.node.Value, u.String()) {
			unit = u
		}
	}
	if _, short := inUnit(m, unit); !short || m <= 0 || p.node.Value[0] == '+' || m > 100*plates.Kilogram {
		return plates.Plate{}, p.want(want + ", up to 100 kg")
	}
	return plates.Plate{Mass: m, Unit: unit}, true
}
