package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"time"

	"github.com/blockwright/blockwright/estimate"
	"github.com/blockwright/blockwright/plates"
)

// A set is written LOADxREPS, with what was left in reserve behind a plus or the
// rating of perceived exertion behind an at sign: 100x5+2, 225lbx3@8.5. What
// stands behind a blank is the day. A load with a velocity is written
// LOADvM/S: 80v0.62.

const setForm = "a set such as 100x5, 100x5+2 (2 in reserve), 100x5@8 (RPE 8) or 80v0.62 (metres per second)"

// setLike is what is meant as a set rather than a plain weight.
var setLike = regexp.MustCompile(`^[0-9.,]+ ?(kg|lb)?[xv×]`)

// writtenSet is a set as it was written.
type writtenSet struct {
	load     mass
	reps     int
	rir      *float64 // nil where nothing was said of it
	velocity float64  // 0 for none
	day      time.Time
}

const (
	mostReps    = 100
	mostReserve = 30
	mostSets    = 1000 // what is asked of one maximum; a longer history is a log
	mostLine    = 200  // bytes of a line of a file of sets
)

func parseSet(s string) (writtenSet, error) {
	var w writtenSet
	wrong := func(format string, args ...any) (writtenSet, error) {
		return writtenSet{}, fmt.Errorf("%q: "+format, append([]any{s}, args...)...)
	}
	fields := strings.Fields(s)
	if len(fields) == 2 {
		var err error
		if w.day, err = readDate(fields[1]); err != nil {
			return wrong("want a date such as 2027-09-06 behind the set, got %q%s", fields[1], hint(err))
		}
	}
	if len(fields) != 1 && len(fields) != 2 {
		return wrong("want %s", setForm)
	}
	text := fields[0]
	if load, v, ok := strings.Cut(text, "v"); ok && setLike.MatchString(text) {
		x, err := readNumber(v, 0.01, 5)
		if err != nil {
			return wrong("want metres per second from 0.01 to 5 behind the v, got %q%s", v, hint(err))
		}
		w.velocity = x
		if err := w.setLoad(load); err != nil {
			return wrong("%v", err)
		}
		return w, nil
	}
	text = strings.Replace(text, "X", "x", 1)
	i := strings.LastIndexAny(text, "x×")
	if i < 0 || strings.ContainsAny(text[:i], "x×") {
		return wrong("want %s", setForm)
	}
	load, rest := text[:i], strings.TrimPrefix(strings.TrimPrefix(text[i:], "x"), "×")
	if err := w.setLoad(load); err != nil {
		return wrong("%v", err)
	}
	reps, reserve, hasReserve := strings.Cut(rest, "+")
	rpe, hasRPE := "", false
	if !hasReserve {
		reps, rpe, hasRPE = strings.Cut(rest, "@")
	}
	n, err := readCount(reps, 1, mostReps)
	if err != nil {
		return wrong("want whole repetitions from 1 to %d, got %q%s", mostReps, reps, hint(err))
	}
	w.reps = n
	switch {
	case hasReserve:
		x, err := readNumber(reserve, 0, mostReserve)
		if err != nil {
			return wrong("want a reserve from 0 to %d behind the plus, got %q%s", mostReserve, reserve, hint(err))
		}
		w.rir = &x
	case hasRPE:
		x, err := readNumber(rpe, 5, 10)
		if err != nil {
			return wrong("want an RPE from 5 to 10 behind the at sign, got %q%s", rpe, hint(err))
		}
		left, err := estimate.RPEToRIR(x)
		if err != nil {
			return wrong("%s", plain(err))
		}
		w.rir = &left
	}
	return w, nil
}

func (w *writtenSet) setLoad(s string) error {
	m, err := readMass(s, plates.KG)
	if err != nil {
		return fmt.Errorf("want a load such as 100, 100kg or 225lb, got %q%s", s, hint(err))
	}
	if m == 0 {
		return errors.New("want a load above 0")
	}
	w.load = mass{text: s, given: true}
	return nil
}

// readSets reads a file of sets, one a line; # begins a comment. Errors name the
// line.
func readSets(name string, in io.Reader) ([]writtenSet, error) {
	const tooLong = "the line is too long; want one set a line"
	var out []writtenSet
	var errs []error
	sc := bufio.NewScanner(in)
	n := 0
	for sc.Scan() {
		n++
		line, _, _ := strings.Cut(strings.TrimPrefix(sc.Text(), "\ufeff"), "#")
		if strings.TrimSpace(line) == "" {
			continue
		}
		if len(out)+len(errs) == mostSets {
			errs = append(errs, &lineError{name, n, fmt.Sprintf("want at most %d sets; a longer history is a log: see blockwright log --help", mostSets)})
			break
		}
		if len(line) > mostLine {
			errs = append(errs, &lineError{name, n, tooLong})
			continue
		}
		w, err := parseSet(line)
		if err != nil {
			errs = append(errs, &lineError{name, n, err.Error()})
			continue
		}
		out = append(out, w)
	}
	if err := sc.Err(); err != nil {
		if errors.Is(err, bufio.ErrTooLong) {
			err = &lineError{name, n + 1, tooLong}
		}
		errs = append(errs, err)
	}
	switch {
	case len(errs) > 0:
		return nil, errors.Join(errs...)
	case len(out) == 0:
		return nil, &lineError{name, max(n, 1), "there is no set; want " + setForm}
	}
	return out, nil
}

// lineError is something wrong with a line of a file.
type lineError struct {
	file string
	line int
	msg  string
}

func (e *lineError) Error() string { return fmt.Sprintf("%s:%d: %s", e.file, e.line, e.msg) }

// sets turns what was written into what is estimated from, loads in u.
func sets(written []writtenSet, u plates.Unit) ([]estimate.Set, error) {
	var first time.Time
	dated := 0
	for i := range written {
		if d := written[i].day; !d.IsZero() {
			dated++
			if first.IsZero() || d.Before(first) {
				first = d
			}
		}
	}
	if dated > 0 && dated < len(written) {
		return nil, usagef("%d of %d sets have a date: want all or none", dated, len(written))
	}
	out := make([]estimate.Set, len(written))
	for i := range written {
		w := &written[i]
		m, err := w.load.in(u)
		if err != nil {
			return nil, err
		}
		s := estimate.Set{Load: m.In(u), Reps: float64(w.reps), NoRIR: w.rir == nil}
		if w.rir != nil {
			s.RIR = *w.rir
		}
		if dated > 0 {
			s.Day = w.day.Sub(first).Hours() / 24
		}
		out[i] = s
	}
	return out, nil
}

// describe is a set in words.
func (w *writtenSet) describe(load float64, u plates.Unit) string {
	s := fmt.Sprintf("%s %s", decimals(load, 2), u)
	switch {
	case w.velocity > 0:
		s += fmt.Sprintf(" at %s m/s", decimals(w.velocity, 3))
	case w.rir == nil:
		s += fmt.Sprintf(" x %d, reserve not said", w.reps)
	case *w.rir == 0:
		s += fmt.Sprintf(" x %d, to failure", w.reps)
	default:
		s += fmt.Sprintf(" x %d, %s in reserve", w.reps, decimals(*w.rir, 2))
	}
	if !w.day.IsZero() {
		s += ", " + w.day.Format(time.DateOnly)
	}
	return s
}
