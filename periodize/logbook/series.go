package logbook

// A series is the rows of one lifter and lift. seriesTable numbers them.
type seriesTable struct {
	slots []seriesSlot // a power of two, at most half full
	keys  []seriesKey
}

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
	if 2*(len(t.keys)+1) > len(t.slots) {
		t.slots = make([]seriesSlot, max(64, 2*len(t.slots)))
		for i, k := range t.keys {
			t.place(k, int32(i))
		}
	}
	t.keys = append(t.keys, k)
	id := int32(len(t.keys) - 1)
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
	load, n float64
	day     int32
	count   int16
	row     int16 // of the table of factors; negative where n is not in it
}

// Sets wait in queues of small pieces that are handed back when they are empty, so
// that memory follows the sets that wait and not those that were.
const pieceLen = 8

type piece struct {
	w        [pieceLen]waiting
	from, to uint8
	next     int32 // plus one
}

type queues struct {
	blocks [][]piece
	free   int32 // plus one
	used   int32
}

const queueBlock = 256

func (q *queues) at(i int32) *piece { return &q.blocks[i/queueBlock][i%queueBlock] }

func (q *queues) take() int32 {
	if q.free != 0 {
		i := q.free - 1
		p := q.at(i)
		q.free = p.next
		p.from, p.to, p.next = 0, 0, 0
		return i
	}
	if int(q.used) == len(q.blocks)*queueBlock {
		q.blocks = append(q.blocks, make([]piece, queueBlock))
	}
	q.used++
	return q.used - 1
}

func (q *queues) give(i int32) {
	q.at(i).next = q.free
	q.free = i + 1
}

// queue is the waiting sets of one series, oldest first.
type queue struct{ head, tail int32 } // plus one

func (q *queues) push(u *queue, w waiting) {
	if u.tail == 0 {
		i := q.take()
		u.head, u.tail = i+1, i+1
	}
	p := q.at(u.tail - 1)
	if p.to == pieceLen {
		i := q.take()
		q.at(u.tail - 1).next = i + 1
		u.tail = i + 1
		p = q.at(i)
	}
	p.w[p.to] = w
	p.to++
}

// first is the oldest; nil for none.
func (q *queues) first(u *queue) *waiting {
	if u.head == 0 {
		return nil
	}
	p := q.at(u.head - 1)
	return &p.w[p.from]
}

// pop takes the oldest away.
func (q *queues) pop(u *queue) {
	p := q.at(u.head - 1)
	p.from++
	if p.from < p.to {
		return
	}
	i := u.head - 1
	u.head = p.next
	if u.head == 0 {
		u.tail = 0
	}
	q.give(i)
}
