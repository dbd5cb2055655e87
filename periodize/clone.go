package periodize

import "slices"

// Clone is a copy of a block that shares nothing with it that can be changed. Tracks of
// other types than this package's are taken over as they are.
func (b *Block) Clone() *Block {
	out := *b
	out.Focus = slices.Clone(b.Focus)
	out.Finish.Lifts = slices.Clone(b.Finish.Lifts)
	out.Lifts = slices.Clone(b.Lifts)
	for i := range out.Lifts {
		l := &out.Lifts[i]
		l.Muscles = slices.Clone(l.Muscles)
		l.Max = cloned(l.Max)
	}
	out.Sessions = slices.Clone(b.Sessions)
	for i := range out.Sessions {
		s := &out.Sessions[i]
		s.Day = cloned(s.Day)
		s.Work = slices.Clone(s.Work)
		for j := range s.Work {
			s.Work[j].own()
		}
	}
	return &out
}

// own copies what an item shares with the one that it was copied from.
func (it *Item) own() {
	it.Work.own()
	it.Each = slices.Clone(it.Each)
	for i := range it.Each {
		it.Each[i].own()
	}
	it.Build, it.Final, it.Backoff = cloned(it.Build), cloned(it.Final), cloned(it.Backoff)
	if bu := it.Build; bu != nil {
		ownTracks(&bu.Reps, &bu.ToRIR, &bu.Start, &bu.Step, &bu.Rest)
	}
	if f := it.Final; f != nil {
		f.Leave = cloned(f.Leave)
	}
	if bo := it.Backoff; bo != nil {
		ownTracks(&bo.Sets, &bo.Reps, &bo.RepsLow, &bo.Drop, &bo.Rest)
	}
}

func (w *Work) own() {
	ownTracks(&w.Sets, &w.Reps, &w.RepsLow, &w.Seconds, &w.Metres, &w.Weight.Track, &w.Rest)
}

// ownTracks copies the one kind of track whose values can be changed in place.
func ownTracks(tracks ...*Track) {
	for _, t := range tracks {
		if list, ok := (*t).(WeekTrack); ok {
			*t = slices.Clone(list)
		}
	}
}

// Clone is a copy of a roster that shares nothing with it that can be changed.
func (r *Roster) Clone() *Roster {
	out := *r
	out.Gyms = slices.Clone(r.Gyms)
	for i := range out.Gyms {
		g := &out.Gyms[i]
		g.Bars = slices.Clone(g.Bars)
		for j := range g.Bars {
			g.Bars[j].Collars = cloned(g.Bars[j].Collars)
		}
		g.Plates = slices.Clone(g.Plates)
		g.Stations = slices.Clone(g.Stations)
		for j := range g.Stations {
			st := &g.Stations[j]
			st.List, st.Add = slices.Clone(st.List), slices.Clone(st.Add)
		}
	}
	out.Lifters = slices.Clone(r.Lifters)
	for i := range out.Lifters {
		l := &out.Lifters[i]
		l.Maxes = slices.Clone(l.Maxes)
		for j := range l.Maxes {
			sets := slices.Clone(l.Maxes[j].Sets)
			for k := range sets {
				sets[k].RIR = cloned(sets[k].RIR)
			}
			l.Maxes[j].Sets = sets
		}
		l.Swaps = slices.Clone(l.Swaps)
		l.Adjust = slices.Clone(l.Adjust)
		if l.Recent = cloned(l.Recent); l.Recent != nil {
			l.Recent.WeeklySets = cloned(l.Recent.WeeklySets)
		}
	}
	return &out
}

// cloned is a pointer to a copy of what p points to; nil for nil.
func cloned[T any](p *T) *T {
	if p == nil {
		return nil
	}
	c := *p
	return &c
}
