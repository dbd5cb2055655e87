package periodize

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A Wish is one thing that a brief asks for.
type Wish struct {
	Path string // in the brief's file, such as weekly_sets.glutes
	Text string // what is asked
	Fits string // what would make it fit, the other wishes as they are
}

// InfeasibleError is a smallest set of wishes that exclude each other: without
// any one of them the rest of the set can be met.
type InfeasibleError struct {
	Pos    Pos
	Wishes []Wish
	// Why says what gets in the way, where one cause is known.
	Why string
	// Bounded is set where the search ended before all exercises and days had
	// been tried, so that a block may exist that it has not found.
	Bounded bool
}

func (e *InfeasibleError) Error() string {
	var b strings.Builder
	if p := e.Pos.String(); p != "" {
		b.WriteString(p + ": ")
	} else {
		b.WriteString("periodize: ")
	}
	switch {
	case len(e.Wishes) == 1:
		b.WriteString("no block meets this wish")
	default:
		b.WriteString("no block meets these wishes together")
	}
	if e.Bounded {
		b.WriteString(", as far as was searched")
	}
	if e.Why != "" {
		b.WriteString(" (" + e.Why + ")")
	}
	for _, w := range e.Wishes {
		fmt.Fprintf(&b, "\n  %s: %s", w.Path, w.Text)
		if w.Fits != "" {
			fmt.Fprintf(&b, "; %s", w.Fits)
		}
	}
	return b.String()
}

// wish is a wish that can be taken out of the wants, and changed.
type wish struct {
	Wish
	drop func(w *wants)
	// relax lists changes in the order from the smallest on, with what to say.
	relax func(yield func(change func(w *wants), fits string) bool)
	// monotone: once a change fits, all larger ones do.
	monotone bool
}

// wishes lists what a brief asks for.
func (t *draftTask) wishes() []wish {
	b := t.b
	var out []wish
	add := func(path, text string, drop func(w *wants), monotone bool, relax func(yield func(change func(w *wants), fits string) bool)) {
		out = append(out, wish{Wish{Path: path, Text: text}, drop, relax, monotone})
	}
	out = append(out, t.nameWishes()...)
	for _, r := range b.WeeklySets {
		m := slices.Index(muscles[:], r.Muscle)
		path := "weekly_sets." + string(r.Muscle)
		if r.Low > 0 {
			add(path, fmt.Sprintf("at least %d sets a week for the %s", r.Low, r.Muscle), func(w *wants) { w.low[m] = 0 }, true,
				func(yield func(func(w *wants), string) bool) {
					for n := r.Low - 1; n >= 0; n-- {
						if !yield(func(w *wants) { w.low[m] = float64(n) }, fmt.Sprintf("at least %d would fit", n)) {
							return
						}
					}
				})
		}
		add(path, fmt.Sprintf("at most %d sets a week for the %s", r.High, r.Muscle), func(w *wants) { w.high[m] = math.Inf(1) }, true,
			func(yield func(func(w *wants), string) bool) {
				for n := r.High + 1; n <= r.High+60; n++ {
					if !yield(func(w *wants) { w.high[m] = float64(n) }, fmt.Sprintf("at most %d would fit", n)) {
						return
					}
				}
			})
	}
	if o := b.Overreach; o != nil {
		add("overreach.rise", fmt.Sprintf("%s%% more sets in the largest week than in the first", o.Rise), func(w *wants) { w.rise = nil }, false,
			func(yield func(func(w *wants), string) bool) {
				from := int(math.Round(o.Rise.Float64()))
				for _, k := range []int{1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48} {
					for _, n := range []int{from - 5*k, from + 5*k} {
						if n <= 0 || n > 300 {
							continue
						}
						r := ratio(int64(n), 1)
						if !yield(func(w *wants) { w.rise = &r }, fmt.Sprintf("%d%% would fit", n)) {
							return
						}
					}
				}
			})
		add("overreach.week", fmt.Sprintf("the most sets in week %d", o.Week), func(w *wants) { w.week = 0 }, false,
			func(yield func(func(w *wants), string) bool) {
				for k := 1; k < b.Weeks; k++ {
					for _, n := range []int{o.Week + k, o.Week - k} {
						if n < 2 || n > b.Weeks {
							continue
						}
						if !yield(func(w *wants) { w.week = n }, fmt.Sprintf("week %d would fit", n)) {
							return
						}
					}
				}
			})
	}
	if h := b.Heavy; h != nil {
		add("heavy", fmt.Sprintf("heavy sets from %d with %s in reserve to %d with %s", h.Reps[0], h.RIR[0], h.Reps[1], h.RIR[1]), func(w *wants) { w.heavy = nil }, false, nil)
	}
	if r := b.Reserve; r != nil {
		add("reserve", fmt.Sprintf("main sets that leave %s to %s", r.Low, r.High), func(w *wants) { w.reserve = nil }, false,
			func(yield func(func(w *wants), string) bool) {
				half := ratio(1, 2)
				for _, k := range []int64{1, 2, 3, 4, 6, 8, 12} {
					by := half.Mul(ratio(k, 1))
					wider := ReserveSpan{r.Low, r.High.Add(by)}
					if !yield(func(w *wants) { w.reserve = &wider }, fmt.Sprintf("%s to %s would fit", wider.Low, wider.High)) {
						return
					}
					lower := ReserveSpan{r.Low.Sub(by), r.High}
					if lower.Low.Sign() >= 0 && !yield(func(w *wants) { w.reserve = &lower }, fmt.Sprintf("%s to %s would fit", lower.Low, lower.High)) {
						return
					}
				}
			})
	}
	if b.Minutes > 0 {
		add("minutes", fmt.Sprintf("sessions of at most %d minutes", b.Minutes), func(w *wants) { w.seconds = math.Inf(1) }, true,
			func(yield func(func(w *wants), string) bool) {
				for n := b.Minutes + 1; n <= 480; n++ {
					if !yield(func(w *wants) { w.seconds = 60 * float64(n) }, fmt.Sprintf("%d minutes would fit", n)) {
						return
					}
				}
			})
	}
	return out
}

// nameWishes lists the lifts to keep and to avoid and what is lacking.
func (t *draftTask) nameWishes() []wish {
	b := t.b
	var out []wish
	out = append(out, t.liftWishes("keep", "must appear", b.Keep, func(w *wants) []bool { return w.keep })...)
	out = append(out, t.liftWishes("avoid", "must not appear", b.Avoid, func(w *wants) []bool { return w.avoid })...)
	for _, l := range slices.Compact(slices.Sorted(slices.Values(b.Lacking))) {
		r, _ := l.Remedy()
		names := make([]string, len(r.Patterns))
		for i, p := range r.Patterns {
			names[i] = string(p)
		}
		w := wish{Wish: Wish{Path: "lacking." + string(l), Text: fmt.Sprintf("developmental work for %q", string(l))}}
		w.Fits = "leave it out, or list another lift beside the focus lifts of the pattern " + strings.Join(names, " or ")
		w.drop = func(w *wants) {
			w.lacking = slices.DeleteFunc(slices.Clone(w.lacking), func(x Lacking) bool { return x == l })
		}
		out = append(out, w)
	}
	return out
}

func (t *draftTask) liftWishes(key, text string, names []string, of func(w *wants) []bool) []wish {
	var out []wish
	for i, n := range names {
		if slices.Contains(names[:i], n) {
			continue
		}
		at := slices.IndexFunc(t.b.Lifts, func(l Lift) bool { return l.Name == n })
		w := wish{Wish: Wish{Path: key + "." + n, Text: fmt.Sprintf("%q %s", n, text), Fits: "leave it out"}}
		if key == "avoid" && t.lifts[at].focus {
			w.Fits = "leave it out, or put another lift in front"
		}
		w.drop = func(w *wants) { of(w)[at] = false }
		out = append(out, w)
	}
	return out
}

// clone copies wants so that one can be changed.
func (w wants) clone() wants {
	w.keep, w.avoid, w.lacking = slices.Clone(w.keep), slices.Clone(w.avoid), slices.Clone(w.lacking)
	w.low, w.high = slices.Clone(w.low), slices.Clone(w.high)
	return w
}

// try reports whether changed wants can be met.
func (t *draftTask) try(change func(w *wants)) (ok, bounded bool) {
	was := t.want
	t.want = was.clone()
	change(&t.want)
	ok, bounded = t.feasible()
	t.want = was
	return ok, bounded
}

// conflict is a smallest set of wishes that cannot be met together: by taking
// out one wish after the other while the rest stays impossible, and then by
// looking for a single wish or a pair that is impossible by itself.
func (t *draftTask) conflict(bounded bool) error {
	all := t.wishes()
	e := &InfeasibleError{Pos: t.b.Pos, Bounded: bounded}
	without := func(out map[int]bool) func(w *wants) {
		return func(w *wants) {
			for i := range all {
				if out[i] {
					all[i].drop(w)
				}
			}
		}
	}
	possible := func(out map[int]bool) bool {
		ok, b := t.try(without(out))
		e.Bounded = e.Bounded || !ok && b
		return ok
	}
	out := map[int]bool{}
	for i := range all {
		out[i] = true
		if possible(out) {
			out[i] = false
		}
	}
	var left []int
	for i := range all {
		if !out[i] {
			left = append(left, i)
		}
	}
	left = smaller(len(all), left, possible)
	if len(left) == 0 {
		return Errors{&Error{Pos: t.b.Pos, Msg: "no block can be made of these lifts, weeks and days" + because(t.reasonWhy())}}
	}
	out = map[int]bool{}
	for i := range all {
		out[i] = !slices.Contains(left, i)
	}
	// What would make each fit: with all other wishes where that is enough,
	// and with those of the conflict otherwise.
	for _, i := range left {
		w := all[i]
		with := map[int]bool{i: true}
		context := map[int]bool{}
		if !possible(with) {
			context = out
		}
		if fits := t.fits(&w, without(context)); fits != "" {
			w.Fits = fits
		} else if w.Fits == "" {
			w.Fits = "leave it out"
		}
		e.Wishes = append(e.Wishes, w.Wish)
	}
	e.Why = t.reasonWhy()
	return e
}

func because(why string) string {
	if why == "" {
		return ""
	}
	return ": " + why
}

// reasonWhy is why no weights can be found, where that is the cause.
func (t *draftTask) reasonWhy() string {
	if sel := t.newCover(false).next(); sel != nil {
		w := t.newWeekSearch(sel)
		w.next()
		return w.why
	}
	return ""
}

// smaller looks for one wish, or two, that are impossible by themselves.
func smaller(n int, left []int, possible func(out map[int]bool) bool) []int {
	alone := func(in ...int) bool {
		out := map[int]bool{}
		for i := range n {
			out[i] = !slices.Contains(in, i)
		}
		return !possible(out)
	}
	if len(left) > 1 {
		for i := range n {
			if alone(i) {
				return []int{i}
			}
		}
	}
	if len(left) > 2 && n <= 24 {
		for i := range n {
			for j := i + 1; j < n; j++ {
				if alone(i, j) {
					return []int{i, j}
				}
			}
		}
	}
	return left
}

// fits is the smallest change of a wish, of those that are tried, that can be
// met, in words.
func (t *draftTask) fits(w *wish, context func(w *wants)) string {
	if w.relax == nil {
		return ""
	}
	type step struct {
		change func(w *wants)
		fits   string
	}
	var steps []step
	w.relax(func(change func(w *wants), fits string) bool {
		steps = append(steps, step{change, fits})
		return true
	})
	ok := func(i int) bool {
		yes, _ := t.try(func(w *wants) {
			context(w)
			steps[i].change(w)
		})
		return yes
	}
	if w.monotone {
		low, high := -1, len(steps)-1
		if high < 0 || !ok(high) {
			return ""
		}
		for high-low > 1 {
			mid := (low + high) / 2
			if ok(mid) {
				high = mid
			} else {
				low = mid
			}
		}
		return steps[high].fits
	}
	for i := range steps {
		if ok(i) {
			return steps[i].fits
		}
	}
	return ""
}
