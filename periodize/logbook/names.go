package logbook

import (
	"fmt"
	"hash/maphash"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/blockwright/blockwright/internal/legible"
)

// names numbers different texts in the order in which they first appear. It is a
// hash table of its own because looking a name up is what a row costs most.
type names struct {
	seed  maphash.Seed
	slots []nameSlot // a power of two, at most half full
	list  []string
	quote bool // some name has a double quote in it
}

type nameSlot struct {
	hash uint32
	id   int32 // plus one; 0 is free
}

func newNames() *names {
	return &names{seed: maphash.MakeSeed(), slots: make([]nameSlot, 64)}
}

// find is the number of a name.
func (n *names) find(b []byte) (id int32, hash uint64, ok bool) {
	hash = maphash.Bytes(n.seed, b)
	mask := uint64(len(n.slots) - 1)
	for i := hash & mask; ; i = (i + 1) & mask {
		s := &n.slots[i]
		if s.id == 0 {
			return 0, hash, false
		}
		if s.hash == uint32(hash>>32) && n.list[s.id-1] == string(b) {
			return s.id - 1, hash, true
		}
	}
}

// add numbers a name that find did not know.
func (n *names) add(name string) int32 {
	if 2*(len(n.list)+1) > len(n.slots) {
		n.slots = make([]nameSlot, 2*len(n.slots))
		for i, s := range n.list {
			n.place(maphash.String(n.seed, s), int32(i))
		}
	}
	n.list = append(n.list, name)
	n.quote = n.quote || strings.IndexByte(name, '"') >= 0
	id := int32(len(n.list) - 1)
	n.place(maphash.String(n.seed, name), id)
	return id
}

func (n *names) place(hash uint64, id int32) {
	mask := uint64(len(n.slots) - 1)
	i := hash & mask
	for n.slots[i].id != 0 {
		i = (i + 1) & mask
	}
	n.slots[i] = nameSlot{uint32(hash >> 32), id + 1}
}

// number is find or add.
func (n *names) number(name string) int32 {
	hash := maphash.String(n.seed, name)
	mask := uint64(len(n.slots) - 1)
	for i := hash & mask; n.slots[i].id != 0; i = (i + 1) & mask {
		if s := n.slots[i]; s.hash == uint32(hash>>32) && n.list[s.id-1] == name {
			return s.id - 1
		}
	}
	return n.add(name)
}

// longestName is the most characters that a name may have, as in a roster.
const longestName = 200

// nameFault says what is wrong with a name; "" for nothing.
func nameFault(b []byte) string {
	switch {
	case len(b) == 0:
		return "want a name, it is empty"
	case !utf8.Valid(b):
		return "want text in UTF-8"
	case utf8.RuneCount(b) > longestName:
		return fmt.Sprintf("want a name of at most %d characters", longestName)
	case !legible.Line(string(b)):
		return "want a name on one line, without control or invisible characters"
	}
	return ""
}

// near is the form in which names are compared for having been meant as the same:
// without case, and with every run of spaces as one.
func near(name string) string {
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}

// nearNames gathers names that are the same but for case and spaces.
type nearNames struct {
	first map[string]string
	found map[string][]string
}

func (n *nearNames) add(name string) {
	if n.first == nil {
		n.first, n.found = map[string]string{}, map[string][]string{}
	}
	k := near(name)
	if f, ok := n.first[k]; ok {
		if len(n.found[k]) == 0 {
			n.found[k] = []string{f}
		}
		n.found[k] = append(n.found[k], name)
		return
	}
	n.first[k] = name
}

// groups lists the names that are near each other, in byte order.
func (n *nearNames) groups() [][]string {
	var out [][]string
	for _, g := range n.found {
		g = slices.Clone(g)
		slices.Sort(g)
		out = append(out, g)
	}
	slices.SortFunc(out, func(a, b []string) int { return strings.Compare(a[0], b[0]) })
	return out
}
