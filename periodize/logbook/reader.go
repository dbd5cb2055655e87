package logbook

import (
	"errors"
	"fmt"
	"io"
	"iter"
	"runtime"
	"slices"
	"strings"
	"sync"

	"github.com/blockwright/blockwright/plates"
)

// Options say how a log is read. The zero value works.
type Options struct {
	Unit plates.Unit // of loads whose row names none, and of every load that comes out; default kg
	// UnitOf is the unit of loads whose row names none, by the row's lifter, where people train in different gyms; nil
	// is Unit for everybody.
	UnitOf func(lifter string) plates.Unit
	// SkipBad lets the analyses of this package leave bad rows out; otherwise a
	// log with one gives a *BadRowsError and nothing else. Reading goes on behind a bad row
	// either way.
	SkipBad   bool
	Listed    int // bad rows that Report lists; 0 is 20, negative none
	Workers   int // goroutines that parse; 0 is one for each processor, at most 8
	MaxRecord int // most bytes of a row, line breaks in quotes included; 0 is 1 MiB
	MaxNames  int // most different lifters, and most different lifts; 0 is 1,000,000
}

// resolved is Options with the defaults filled in.
type resolved struct {
	unit                                 plates.Unit
	unitOf                               func(lifter string) plates.Unit
	listed, workers, maxRecord, maxNames int
	blockSize                            int
	slow                                 bool
}

const (
	blockSize = 256 << 10 // bytes of a block: some milliseconds of work, and in the second-level cache
	padding   = 16        // bytes behind a block that can be loaded but mean nothing
)

func (o Options) resolve() resolved {
	r := resolved{unit: o.Unit, unitOf: o.UnitOf, listed: o.Listed, workers: o.Workers, maxRecord: o.MaxRecord, maxNames: o.MaxNames, blockSize: blockSize}
	if r.listed == 0 {
		r.listed = 20
	}
	r.listed = max(r.listed, 0)
	if r.workers <= 0 {
		r.workers = min(runtime.GOMAXPROCS(0), 8)
	}
	if r.maxRecord <= 0 {
		r.maxRecord = 1 << 20
	}
	if r.maxNames <= 0 {
		r.maxNames = 1_000_000
	}
	return r
}

// FileReport is how one file was read.
type FileReport struct {
	Name  string
	Rows  int64 // rows that could be used
	Bad   int64 // rows that could not
	Blank int64 // empty lines, which are passed over
}

// Report is how a log was read, complete once the reading has come to its end.
type Report struct {
	Rows, Bad, Blank int64 // over all files
	Listed           []*RowError
	Notices          []Notice
	Files            []FileReport
}

// Err is a *BadRowsError where there were bad rows.
func (r *Report) Err() error {
	if r.Bad == 0 {
		return nil
	}
	return &BadRowsError{Bad: r.Bad, Rows: r.Rows, Listed: r.Listed}
}

// Reader reads a log from one or more files, one after the other, as one log.
// Each file has its own header, and its own order of columns. Memory does not
// grow with the length of the files, only with the number of different names.
//
// A Reader may be read several times, one reading after the other; each starts at the beginning.
type Reader struct {
	opt     resolved
	skipBad bool
	sources []Source

	report  Report
	lifters *names
	lifts   *names
	nearest [2]nearNames
	noticed map[string]bool
}

// NewReader is a reader of these files.
func NewReader(opt Options, sources ...Source) *Reader {
	return &Reader{opt: opt.resolve(), skipBad: opt.SkipBad, sources: sources}
}

// Unit is the unit of the loads that come out.
func (r *Reader) Unit() plates.Unit { return r.opt.unit }

// Report is how the reading went, or has gone so far.
func (r *Reader) Report() *Report {
	rep := r.report
	rep.Notices = slices.Clone(rep.Notices)
	for k, what := range []string{"lifters", "lifts"} {
		for _, g := range r.nearest[k].groups() {
			rep.Notices = append(rep.Notices, Notice{Code: "near_names",
				Text: fmt.Sprintf("the %s %s differ only in case or spaces and are taken as different", what, quoted(g))})
		}
	}
	return &rep
}

// Err is nil where a log may be concluded from: its bad rows are to be skipped, or it has none.
func (r *Reader) Err() error {
	if r.skipBad {
		return nil
	}
	return r.report.Err()
}

func quoted(names []string) string {
	q := make([]string, len(names))
	for i, n := range names {
		q[i] = fmt.Sprintf("%q", n)
	}
	return strings.Join(q, " and ")
}

// block is a piece of a file that holds whole records, and what was read from it.
type block struct {
	seq  int
	file int
	lay  *layout
	data []byte // with padding bytes behind it in its backing array
	buf  []byte

	details bool
	singles bool // rows of other than one repetition are passed over, with few checks
	passed  int64
	most    int // bad rows to keep
	sets    []Set
	extras  []extra
	bad     []*RowError // in order; lines count from the block's first
	nbad    int64
	blank   int64
	lines   int
	p       *parser     // whose numbers the names have
	names   [2][]string // its lifters and lifts; the parser goes on to add to its own
	commas  bool

	start    int // line of the file before the block's first
	notices  []Notice
	err      error
	final    bool // nothing follows
	panicked any  // what a source panicked with
}

// badRow adds an error whose Line is relative to its record, which starts at a line of the block.
func (b *block) badRow(e *RowError, line int) {
	b.nbad++
	if len(b.bad) < b.most {
		e.Line += line
		b.bad = append(b.bad, e)
	}
}

// cutter reads the sources and cuts them into blocks.
type cutter struct {
	r     *Reader
	file  int // of r.sources
	in    *input
	lay   *layout
	split splitter
	row   *parser
	carry []byte // the start of a record whose end was not there yet
	eof   bool
	seq   int
	done  bool
	lead  int // lines before the first block's first that were passed over
}

func (c *cutter) close() {
	if c.in != nil {
		c.in.close()
		c.in = nil
	}
}

// next fills a block. It reports false after the last one.
func (c *cutter) next(b *block) bool {
	if c.done {
		return false
	}
	*b = block{seq: c.seq, buf: b.buf, sets: b.sets[:0], extras: b.extras[:0], bad: b.bad[:0], details: b.details, singles: b.singles, most: b.most}
	c.seq++
	if c.in == nil {
		if c.file == len(c.r.sources) {
			c.done = true
			return false
		}
		if err := c.open(b); err != nil {
			return c.fail(b, err)
		}
	}
	b.file, b.lay = c.file, c.lay
	if err := c.fill(b); err != nil {
		return c.fail(b, err)
	}
	if c.eof && len(c.carry) == 0 {
		b.final = true
		c.close()
		c.file++
	}
	return true
}

// nextOrPanic is next for a goroutine of the reader's own: the panic of a source comes as
// the last block, for the caller of the reader.
func (c *cutter) nextOrPanic(b *block) (ok bool) {
	defer func() {
		if v := recover(); v != nil {
			c.in = nil // not closed: it may panic again
			ok = c.fail(b, errStop)
			b.panicked = v
		}
	}()
	return c.next(b)
}

func (c *cutter) fail(b *block, err error) bool {
	b.err = err
	b.file = c.file
	b.data = nil
	c.close()
	c.done = true
	return true
}

// open opens the next source and reads its header.
func (c *cutter) open(b *block) error {
	src := c.r.sources[c.file]
	in, err := src.openInput()
	if err != nil {
		return &ReadError{File: src.name, Err: err}
	}
	c.in, c.eof, c.carry, c.lead, c.lay = in, false, c.carry[:0], 0, nil
	if in.gzip {
		b.notices = append(b.notices, Notice{"gzip", src.name, "unpacked with gzip"})
	}
	return nil
}

// more reads into buf behind its length, up to its capacity less the padding.
func (c *cutter) more(buf []byte) ([]byte, error) {
	for idle := 0; len(buf) < cap(buf)-padding; {
		n, err := c.in.Read(buf[len(buf) : cap(buf)-padding])
		buf = buf[:len(buf)+n]
		switch {
		case err == io.EOF:
			c.eof = true
			return buf, nil
		case err != nil:
			return buf, err
		case n > 0:
			idle = 0
		default:
			if idle++; idle == 100 {
				return buf, io.ErrNoProgress
			}
		}
	}
	return buf, nil
}

// fill reads the next whole records.
func (c *cutter) fill(b *block) error {
	buf := b.buf
	if want := max(c.r.opt.blockSize, len(c.carry)+c.r.opt.blockSize/2) + padding; cap(buf) < want {
		buf = make([]byte, 0, want)
	}
	buf = append(buf[:0], c.carry...)
	c.carry = c.carry[:0]
	var readErr error
	for {
		if !c.eof {
			var err error
			if buf, err = c.more(buf); err != nil {
				// The whole rows before the error are still read.
				readErr, c.eof = err, true
			}
		}
		if c.lay == nil {
			if err := c.header(b, &buf, readErr); err != nil {
				return err
			}
		}
		var cut int
		if c.lay != nil {
			cut = c.split.cut(buf, c.eof && readErr == nil)
			if cut > 0 || c.eof {
				b.start = c.lead
				c.lead = 0
				c.carry = append(c.carry[:0], buf[cut:]...)
				if c.eof && readErr == nil && cut > 0 && buf[cut-1] != '\n' {
					c.cutOff(b)
				}
				b.buf, b.data, b.lay = buf, buf[:cut], c.lay
				break
			}
		}
		if len(buf) > c.r.opt.maxRecord {
			return c.huge(b, buf)
		}
		grown := make([]byte, len(buf), 2*cap(buf))
		copy(grown, buf)
		buf = grown
	}
	if readErr != nil {
		b.err = &ReadError{File: c.r.sources[c.file].name, Err: readErr}
		c.close()
		c.done = true
		c.carry = c.carry[:0]
	}
	return nil
}

// huge passes over a line that is longer than a row may be, which buf starts with.
func (c *cutter) huge(b *block, buf []byte) error {
	if c.lay == nil {
		return c.noHeader()
	}
	b.buf, b.data, b.lay = buf, buf[:0], c.lay
	b.badRow(&RowError{Got: excerpt(buf), Want: fmt.Sprintf("want a row of at most %d bytes", c.r.opt.maxRecord)}, 0)
	b.lines = 1
	b.start = c.lead
	c.lead = 0
	for {
		buf = buf[:0]
		var err error
		if buf, err = c.more(buf); err != nil {
			b.err = &ReadError{File: c.r.sources[c.file].name, Err: err}
			c.close()
			c.done = true
			return nil
		}
		if n := lineEnd(buf, 0); n >= 0 {
			c.carry = append(c.carry[:0], buf[n:]...)
			return nil
		}
		if c.eof {
			c.cutOff(b)
			return nil
		}
	}
}

func (c *cutter) cutOff(b *block) {
	b.notices = append(b.notices, Notice{"cut_off", c.r.sources[c.file].name,
		"the last line has no line end; if the file was cut off, so may its last row be"})
}

func (c *cutter) noHeader() error {
	return &HeaderError{File: c.r.sources[c.file].name, Line: 1,
		Why: fmt.Sprintf("there is no line that names the columns in the first %d bytes; this is not a log", c.r.opt.maxRecord)}
}

// header takes the header off the start of buf if it is there whole.
func (c *cutter) header(b *block, buf *[]byte, readErr error) error {
	name := c.r.sources[c.file].name
	data := *buf
	if c.lead == 0 {
		switch {
		case len(data) >= 3 && data[0] == 0xEF && data[1] == 0xBB && data[2] == 0xBF:
			data = data[3:]
			b.notices = append(b.notices, Notice{"byte_order_mark", name, "a byte-order mark was taken off"})
		case len(data) >= 2 && (data[0] == 0xFF && data[1] == 0xFE || data[0] == 0xFE && data[1] == 0xFF):
			return &HeaderError{File: name, Line: 1, Why: "the text is in UTF-16; save it as UTF-8"}
		}
	}
	lines := 0
	for len(data) > 0 {
		n := lineEnd(data, 0)
		if n < 0 {
			break
		}
		if len(trimLine(data[:n])) > 0 {
			break
		}
		data = data[n:]
		lines++
	}
	n := lineEnd(data, 0)
	if at := len(*buf) - len(data); n < 0 && len(*buf) > c.r.opt.maxRecord || at+n > c.r.opt.maxRecord {
		return c.noHeader()
	}
	if n < 0 {
		if !c.eof {
			return nil
		}
		if readErr != nil {
			return &ReadError{File: name, Err: readErr}
		}
		if len(trimLine(data)) == 0 {
			return &HeaderError{File: name, Why: "the file is empty; want a first line that names the columns, such as " + strings.Join(columnNames[1:6], ",")}
		}
		n = len(data)
	}
	lay, err := readLayout(name, lines+1, data[:n])
	if err != nil {
		return err
	}
	c.lay = lay
	c.row = newParser(&c.r.opt)
	c.row.use(lay)
	c.split = c.row.split
	c.lead = lines + 1
	data = data[n:]
	*buf = append((*buf)[:0], data...)
	if lay.delim == ';' {
		b.notices = append(b.notices, Notice{"semicolons", name, "columns are separated by semicolons"})
	}
	for _, u := range lay.unknown {
		b.notices = append(b.notices, Notice{"unknown_column", name, fmt.Sprintf("the column %q is not used", u)})
	}
	return nil
}

// errStop says that the consumer wants no more.
var errStop = errors.New("stop")

// run reads everything and hands the blocks over in their order, on the caller's goroutine.
func (r *Reader) run(details, singles bool, most int, each func(*block) error) error {
	r.report = Report{}
	r.lifters, r.lifts = newNames(), newNames()
	r.nearest = [2]nearNames{}
	r.noticed = map[string]bool{}
	c := &cutter{r: r}
	defer c.close()
	st := &stage{r: r, numbers: map[*parser]*renumber{}}
	if r.opt.workers == 1 {
		p := newParser(&r.opt)
		b := &block{details: details, singles: singles, most: most}
		for c.next(b) {
			b.read(p)
			if err := st.deliver(b, each); err != nil {
				return err
			}
		}
		return nil
	}
	var (
		mu   sync.Mutex
		wg   sync.WaitGroup
		n    = r.opt.workers
		free = make(chan *block, 2*n+1)
		full = make(chan *block, 2*n+1)
		stop = make(chan struct{})
	)
	for range cap(free) {
		free <- &block{details: details, singles: singles, most: most}
	}
	for range n {
		wg.Go(func() {
			p := newParser(&r.opt)
			for {
				var b *block
				select {
				case b = <-free:
				case <-stop:
					return
				}
				mu.Lock()
				ok := c.nextOrPanic(b)
				mu.Unlock()
				if !ok {
					return
				}
				b.read(p)
				full <- b // has room for every block there is
			}
		})
	}
	halt := sync.OnceFunc(func() { close(stop) })
	// However this ends, a panic of the caller's included, nobody reads on in what is closed then.
	defer wg.Wait()
	defer halt()
	go func() { wg.Wait(); close(full) }()
	var err error
	var panicked any
	waiting := map[int]*block{}
	next := 0
	for b := range full {
		waiting[b.seq] = b
		for err == nil {
			b, ok := waiting[next]
			if !ok {
				break
			}
			delete(waiting, next)
			next++
			if err = st.deliver(b, each); err != nil {
				panicked = b.panicked
				halt()
				break
			}
			free <- b
		}
	}
	if panicked != nil {
		panic(panicked)
	}
	return err
}

// read parses the block.
func (b *block) read(p *parser) {
	b.p = p
	if len(b.data) == 0 {
		return
	}
	p.commas = false
	p.parse(b)
	b.commas = p.commas
	b.names = [2][]string{p.lifters.list, p.lifts.list}
}

// stage turns the blocks' own counts of lines and numbers of names into those of the reader.
type stage struct {
	r       *Reader
	numbers map[*parser]*renumber
	file    int
	line    int // of the file, before the block
}

// renumber has the reader's numbers of one parser's names.
type renumber struct{ lifters, lifts []int32 }

func (s *stage) deliver(b *block, each func(*block) error) error {
	r := s.r
	if len(r.report.Files) == 0 || b.file != s.file {
		s.file, s.line = b.file, 0
		if b.file < len(r.sources) {
			r.report.Files = append(r.report.Files, FileReport{Name: r.sources[b.file].name})
		}
	}
	for _, n := range b.notices {
		r.notice(n)
	}
	if b.commas {
		r.notice(Notice{"decimal_commas", r.sources[b.file].name, "commas are read as decimal signs"})
	}
	s.line += b.start
	b.start = s.line
	if err := s.rename(b); err != nil {
		return err
	}
	if r.opt.unitOf != nil {
		s.convert(b)
	}
	for _, e := range b.bad {
		e.File = r.sources[b.file].name
		e.Line += s.line + 1
		if len(r.report.Listed) < r.opt.listed {
			r.report.Listed = append(r.report.Listed, e)
		}
	}
	s.line += b.lines
	f := &r.report.Files[len(r.report.Files)-1]
	for _, c := range []struct {
		all, file *int64
		n         int64
	}{{&r.report.Rows, &f.Rows, int64(len(b.sets)) + b.passed}, {&r.report.Bad, &f.Bad, b.nbad}, {&r.report.Blank, &f.Blank, b.blank}} {
		*c.all += c.n
		*c.file += c.n
	}
	if err := each(b); err != nil {
		return err
	}
	if e, ok := b.err.(*ReadError); ok && s.line > 0 {
		e.Line = s.line
	}
	return b.err
}

func (r *Reader) notice(n Notice) {
	if k := n.Code + "\x00" + n.File + "\x00" + n.Text; !r.noticed[k] {
		r.noticed[k] = true
		r.report.Notices = append(r.report.Notices, n)
	}
}

// rename gives the block's names and lines the reader's numbers.
func (s *stage) rename(b *block) error {
	if b.p == nil {
		return nil
	}
	m := s.numbers[b.p]
	if m == nil {
		m = &renumber{}
		s.numbers[b.p] = m
	}
	// Names get their numbers as rows name them, so that these follow the order of
	// the files whichever parser read what.
	line := int32(s.line) + 1
	for i := range b.sets {
		set := &b.sets[i]
		set.Line += line
		a, l := uint(set.Lifter), uint(set.Lift)
		if a < uint(len(m.lifters)) && l < uint(len(m.lifts)) {
			if x, y := m.lifters[a], m.lifts[l]; x > 0 && y > 0 {
				set.Lifter, set.Lift = x-1, y-1
				continue
			}
		}
		var err error
		if set.Lifter, err = s.number(&m.lifters, set.Lifter, b.names[0], s.r.lifters, 0); err != nil {
			return err
		}
		if set.Lift, err = s.number(&m.lifts, set.Lift, b.names[1], s.r.lifts, 1); err != nil {
			return err
		}
	}
	return nil
}

// convert brings bare loads from their lifter's unit to the reader's.
func (s *stage) convert(b *block) {
	to, from := s.r.opt.unit, s.r.opt.unit
	lifter := int32(-1)
	for i := range b.sets {
		set := &b.sets[i]
		if set.Lifter != lifter {
			lifter = set.Lifter
			from = s.r.opt.unitOf(s.r.lifters.list[lifter])
		}
		if set.named || from == to {
			continue
		}
		set.Load = in(set.Load, from, to)
		if b.details {
			x := &b.extras[i]
			x.unit, x.body = from, in(x.body, from, to)
		}
	}
}

func (s *stage) number(have *[]int32, id int32, from []string, to *names, kind int) (int32, error) {
	if int(id) < len(*have) {
		if n := (*have)[id]; n > 0 {
			return n - 1, nil
		}
	}
	for len(*have) <= int(id) {
		*have = append(*have, 0)
	}
	name := from[id]
	before := len(to.list)
	n := to.number(name)
	if len(to.list) > before {
		s.r.nearest[kind].add(name)
		if len(to.list) > s.r.opt.maxNames {
			return 0, &LimitError{What: [...]string{"different lifters", "different lifts"}[kind], Limit: s.r.opt.maxNames}
		}
	}
	(*have)[id] = n + 1
	return n, nil
}

// Batch is some hundreds or thousands of rows of one file, in their order: the
// fast interface. It is valid until the next one is asked for.
type Batch struct {
	File string
	Sets []Set
	Bad  []*RowError // the first bad rows of the batch, as many as Options.Listed; Report counts all

	r *Reader
}

// Lifter is the name of a lifter's number. Numbers count from 0 in the order of first appearance, over all files of
// the reader.
func (b *Batch) Lifter(id int32) string { return b.r.lifters.list[id] }

// Lift is the name of a lift's number.
func (b *Batch) Lift(id int32) string { return b.r.lifts.list[id] }

// Lifters is how many different lifters there were so far.
func (b *Batch) Lifters() int {
	if b.r == nil {
		return 0
	}
	return len(b.r.lifters.list)
}

// Lifts is how many different lifts there were so far.
func (b *Batch) Lifts() int {
	if b.r == nil {
		return 0
	}
	return len(b.r.lifts.list)
}

// Batches reads the log in batches, for analyses that need no more than a [Set] has.
// An error ends the reading: a *HeaderError, *ReadError or *LimitError. Bad rows do not; see [Reader.Report].
func (r *Reader) Batches() iter.Seq2[*Batch, error] { return r.inBatches(false) }

// inBatches is Batches, of all rows or of those of one repetition.
func (r *Reader) inBatches(singles bool) iter.Seq2[*Batch, error] {
	return func(yield func(*Batch, error) bool) {
		batch := &Batch{r: r}
		err := r.run(false, singles, r.opt.listed, func(b *block) error {
			if len(b.sets) == 0 && len(b.bad) == 0 {
				return nil
			}
			batch.File, batch.Sets, batch.Bad = r.sources[b.file].name, b.sets, b.bad
			if !yield(batch, nil) {
				return errStop
			}
			return nil
		})
		if err != nil && err != errStop {
			yield(nil, err)
		}
	}
}
