package logbook

// A series is the rows of one lifter and lift. seriesTable numbers them.
type seriesTable struct {
	dense [][]int32    // by lifter and lift, for the first lifts: number plus one
	slots []seriesSlot // of the other lifts, a hash table; a power of two, at most half full
	keys  []seriesKey
	other int // series in slots
}

// denseLifts is how many lifts are looked up without hashing. A log with more has mixed up its columns.
const denseLifts = 128

type seriesKey struct{ lifter, lift int32 }

type seriesSlot struct {
	key seriesKey
	id  int32 // plus one; 0 is free
}

func (k seriesKey) hash() uint64 {
	x := uint64(uint32(k.lifter))<<32 | uint64(uint32(k.lift))
	x ^= x >> 29
	x *= 0xbf58476d1ce4e5b9
	return x ^ x>>32
}

// find is the number of a series; -1 where it has none yet.
func (t *seriesTable) find(k seriesKey) int32 {
	if uint32(k.lift) < denseLifts {
		if uint32(k.lifter) < uint32(len(t.dense)) {
			if row := t.dense[k.lifter]; int(k.lift) < len(row) {
				return row[k.lift] - 1
			}
		}
		return -1
	}
	if len(t.slots) == 0 {
		return -1
	}
	mask := uint64(len(t.slots) - 1)
	for i := k.hash() & mask; ; i = (i + 1) & mask {
		s := &t.slots[i]
		if s.id == 0 {
			return -1
		}
		if s.key == k {
			return s.id - 1
		}
	}
}

func (t *seriesTable) add(k seriesKey) int32 {
	t.keys = append(t.keys, k)
	id := int32(len(t.keys) - 1)
	if k.lift < denseLifts {
		for int(k.lifter) >= len(t.dense) {
			t.dense = append(t.dense, nil)
		}
		row := &t.dense[k.lifter]
		for int(k.lift) >= len(*row) {
			*row = append(*row, 0)
		}
		(*row)[k.lift] = id + 1
		return id
	}
	t.other++
	if 2*t.other > len(t.slots) {
		t.slots = make([]seriesSlot, max(64, 2*len(t.slots)))
		for i, k := range t.keys[:id] {
			if k.lift >= denseLifts {
				t.place(k, int32(i))
			}
		}
	}
	t.place(k, id)
	return id
}

func (t *seriesTable) place(k seriesKey, id int32) {
	mask := uint64(len(t.slots) - 1)
	i := k.hash() & mask
	for t.slots[i].id != 0 {
		i = (i + 1) & mask
	}
	t.slots[i] = seriesSlot{k, id + 1}
}

// waiting is a qualifying set that waits for its test.
type waiting struct {
	load  float64
	day   int32
	count int16
	row   int16 // of the table of factors; negative, and -1 less a place in odd, where the repetitions are not whole or half
}

// queue is the waiting sets of one series, oldest first, from head on.
type queue struct {
	wait []waiting
	head int32
}

// push adds a set. When there is no room, sets of before a day are dropped first, so that memory
// follows the sets that may still find a test; it returns how many sets these stood for.
func (q *queue) push(w waiting, before int32) (dropped int64) {
	if len(q.wait) == cap(q.wait) {
		for int(q.head) < len(q.wait) && q.wait[q.head].day < before {
			dropped += int64(q.wait[q.head].count)
			q.head++
		}
		live := q.wait[q.head:]
		if 4*int(q.head) >= len(q.wait) && len(q.wait) > 0 {
			q.wait = q.wait[:copy(q.wait, live)]
		} else {
			// Small steps: there are many queues, and what they keep empty adds up.
			q.wait = append(make([]waiting, 0, len(live)+max(8, len(live)/4)), live...)
		}
		q.head = 0
	}
	n := len(q.wait)
	q.wait = q.wait[:n+1]
	to := &q.wait[n] // by fields, as it comes: see plain
	to.load, to.day, to.count, to.row = w.load, w.day, w.count, w.row
	return dropped
}

// take takes away the sets of before a day.
func (q *queue) take(day int32) []waiting {
	i := int(q.head)
	for i < len(q.wait) && q.wait[i].day < day {
		i++
	}
	out := q.wait[q.head:i]
	q.head = int32(i)
	if i == len(q.wait) {
		q.wait, q.head = q.wait[:0], 0
	}
	return out
}
