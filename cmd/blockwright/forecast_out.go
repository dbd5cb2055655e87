package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/blockwright/blockwright/internal/texttab"
	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/response"
)

// What forecast prints as text. The caveats end it, whatever else is in it.

func (o *forecastOptions) print(sh *shell, list []*forecasted) error {
	var b strings.Builder
	for i, f := range list {
		if i > 0 {
			b.WriteString("\n")
		}
		b.WriteString(sh.bold(f.title()) + "\n")
		about := item("load: "+f.f.Daily.Method, "", sh.width) +
			item(fmt.Sprintf("before day 1: %s (%s a day)", f.f.Assumed, decimals(f.f.Before, 2)), "", sh.width)
		if f.pair != nil {
			b.WriteString(about)
			o.printPair(sh, &b, f)
			continue
		}
		b.WriteString(freshestWords(sh, f.f, ""))
		b.WriteString("\n" + forecastChart(f.f, sh.width))
		b.WriteString("\n" + o.weekTable(sh, f.f) + about)
	}
	if len(list) == 1 {
		b.WriteString("\n" + setTable(sh, list[0]))
	} else {
		b.WriteString("\n" + sh.para(fmt.Sprintf("The list has %d parameter sets, %s: see --list.", len(list[0].f.Outlook.Sets), response.AssumedMark)))
	}
	b.WriteString("\n" + caveats(sh))
	return sh.print(b.String())
}

// caveats are the sentences that belong beside every output of the model.
func caveats(sh *shell) string {
	var b strings.Builder
	for _, c := range response.Caveats() {
		b.WriteString(item("- "+c, "", sh.width))
	}
	b.WriteString(item("- Freshness is relative: 0 is the least and 1 the most fresh day looked at, for each parameter set by itself. The band holds the whole list, which is no sample of lifters. No medical advice.", "", sh.width))
	return b.String()
}

const chartRows = 9 // of the band

// forecastChart draws the band of freshness with the median in it, and the load
// below, one column a day or a few days.
func forecastChart(f *periodize.Forecast, width int) string {
	const margin = 6
	days := len(f.Days)
	per := 1 // days a column
	for (days+per-1)/per > max(width-margin, 20) {
		per++
	}
	cols := (days + per - 1) / per
	grid := make([][]byte, chartRows)
	for i := range grid {
		grid[i] = []byte(strings.Repeat(" ", cols))
	}
	row := func(x float64) int { return chartRows - 1 - min(chartRows-1, int(math.Round(x*(chartRows-1)))) }
	load := make([]float64, cols)
	most := 0.0
	for c := range cols {
		low, high, mid, n := 1.0, 0.0, 0.0, 0
		for k := c * per; k < min((c+1)*per, days); k++ {
			d := f.Days[k]
			low, high, mid = min(low, d.Low), max(high, d.High), mid+d.Mid
			load[c] += f.Load[d.Day-1]
			n++
		}
		for r := row(high); r <= row(low); r++ {
			grid[r][c] = ':'
		}
		grid[row(mid/float64(n))][c] = 'o'
		most = max(most, load[c])
	}
	var b strings.Builder
	b.WriteString("freshness\n")
	for r, line := range grid {
		label := ""
		switch r {
		case 0:
			label = "1"
		case (chartRows - 1) / 2:
			label = "0.5"
		case chartRows - 1:
			label = "0"
		}
		b.WriteString(strings.TrimRight(fmt.Sprintf("%4s |%s", label, line), " ") + "\n")
	}
	marks := []byte(strings.Repeat(" ", cols))
	at := func(day int) int { return (day - f.Days[0].Day) / per }
	for d := at(f.Freshest.Low); d <= at(f.Freshest.High); d++ {
		marks[d] = '-'
	}
	marks[at(f.Freshest.Day)] = '^'
	b.WriteString(strings.TrimRight("     |"+string(marks), " ") + "\n")
	b.WriteString(strings.TrimRight("load |"+loadBars(load, most), " ") + "\n")
	axis := []byte(strings.Repeat(" ", cols+8))
	free := 0
	for d := 1; d <= days; d += 7 {
		if c, label := at(d+f.Days[0].Day-1), fmt.Sprint(d); c >= free {
			copy(axis[c:], label)
			free = c + len(label) + 1
		}
	}
	b.WriteString(" day |" + strings.TrimRight(string(axis), " ") + "\n")
	legend := "o median over the list, : its ends; ^ the freshest day, - over the list"
	if per > 1 {
		legend += fmt.Sprintf("; %d days a column", per)
	}
	return b.String() + legend + "\n"
}

// loadBars is one block of an eighth to a full cell for each day with load.
func loadBars(load []float64, most float64) string {
	eighths := []rune("▁▂▃▄▅▆▇█")
	var b strings.Builder
	for _, x := range load {
		if x <= 0 || most <= 0 {
			b.WriteByte(' ')
			continue
		}
		b.WriteRune(eighths[min(7, int(8*x/most))])
	}
	return b.String()
}

// weekTable is a row a week, with the band of its last day.
func (o *forecastOptions) weekTable(sh *shell, f *periodize.Forecast) string {
	t := texttab.New(texttab.Right("week"), texttab.Left("to"), texttab.Right("load"), texttab.Left("fitness"), texttab.Left("fatigue"), texttab.Left("freshness"))
	t.Style = sh.head()
	days := len(f.Load)
	for w := 1; 7*(w-1) < days; w++ {
		last := min(7*w, days)
		load := 0.0
		for d := 7*(w-1) + 1; d <= last; d++ {
			load += f.Load[d-1]
		}
		b, _ := f.On(last)
		i := last - f.Days[0].Day
		day := fmt.Sprintf("day %d", last)
		if d := f.Date(last); !d.IsZero() {
			day = d.Format("Mon 2 Jan")
		}
		t.Row(fmt.Sprint(w), day, decimals(load, 1), change(f.Fitness[i]), change(f.Fatigue[i]),
			fmt.Sprintf("%s (%s to %s)", fixed(b.Mid, 2), fixed(b.Low, 2), fixed(b.High, 2)))
	}
	return t.String() + item("load in "+f.Daily.Unit+"; fitness and fatigue as their change since day 1, in ranges of freshness: median (ends over the list)", "", sh.width)
}

func change(p response.Point) string {
	return fmt.Sprintf("%s (%s to %s)", signedFixed(p.Mid), signedFixed(p.Low), signedFixed(p.High))
}

func signedFixed(x float64) string {
	s := fixed(x, 2)
	if s[0] != '-' && x > 0 {
		s = "+" + s
	}
	return s
}

// freshestWords is the freshest day, how far the list agrees, and the test.
func freshestWords(sh *shell, f *periodize.Forecast, plan string) string {
	var b strings.Builder
	b.WriteString(sh.bold(capital(strings.TrimSpace(plan+" freshest on "+dayName(f, f.Freshest.Day)))) + "\n")
	b.WriteString(item(capital(f.Freshest.Agreement())+".", "  ", sh.width))
	end := f.Days[len(f.Days)-1].Day
	late := 0
	for _, s := range f.Outlook.Sets {
		if s.Freshest == end {
			late++
		}
	}
	if late > 0 {
		b.WriteString(item(fmt.Sprintf("%s freshest on the last day that was looked at, day %d, and may be fresher later: see --after.", verb(late, "of them is", "of them are"), end), "  ", sh.width))
	}
	if f.Test > 0 {
		if d, ok := f.On(f.Test); ok {
			agree, of := f.NearFreshest(f.Test)
			b.WriteString(item(fmt.Sprintf("On the test, %s, %s, freshness is %s (%s to %s) where 0 is the least and 1 the most fresh day; in %d of %d parameter sets the freshest day lies within %d days of it.",
				dayName(f, f.Test), apart(f.Test, f.Freshest.Day), fixed(d.Mid, 2), fixed(d.Low, 2), fixed(d.High, 2), agree, of, response.AgreeWithin), "  ", sh.width))
		}
	}
	return b.String()
}

// apart says how far a day is from the freshest.
func apart(day, freshest int) string {
	switch {
	case day < freshest:
		return plural(freshest-day, "day") + " before the freshest"
	case day > freshest:
		return plural(day-freshest, "day") + " after the freshest"
	}
	return "the freshest day"
}

// setTable is the list that the band is over.
func setTable(sh *shell, f *forecasted) string {
	cols := []texttab.Column{texttab.Left("parameter set"), texttab.Right("tau1 d"), texttab.Right("tau2 d"), texttab.Right("k2/k1")}
	if f.pair != nil {
		cols = append(cols, texttab.Right("A freshest"), texttab.Right("B freshest"), texttab.Right("A less B"))
	} else {
		cols = append(cols, texttab.Right("freshest day"))
	}
	t := texttab.New(cols...)
	t.Style = sh.head()
	for i, s := range f.f.Outlook.Sets {
		row := []string{s.Set.Name, decimals(s.Set.Tau1, 1), decimals(s.Set.Tau2, 1), decimals(s.Set.Ratio, 2), fmt.Sprint(s.Freshest)}
		if f.pair != nil {
			row = append(row, fmt.Sprint(f.pair.B.Outlook.Sets[i].Freshest), signedFixed(f.pair.Comparison.Difference[i]))
		}
		t.Row(row...)
	}
	return t.String() + response.AssumedMark + "; sources: --list\n"
}

// printPair is two plans side by side.
func (o *forecastOptions) printPair(sh *shell, b *strings.Builder, f *forecasted) {
	p := f.pair
	if p.Padded != "" {
		b.WriteString(item("two starts: "+p.Padded, "", sh.width))
	}
	t := texttab.New(texttab.Right("week"), texttab.Left("to"), texttab.Right("A load"), texttab.Right("B load"), texttab.Left("A freshness"), texttab.Left("B freshness"))
	t.Style = sh.head()
	for w := 1; 7*(w-1) < len(p.A.Load); w++ {
		last := min(7*w, len(p.A.Load))
		day := fmt.Sprintf("day %d", last)
		if d := p.A.Date(last); !d.IsZero() {
			day = d.Format("Mon 2 Jan")
		}
		row := []string{fmt.Sprint(w), day}
		var bands []string
		for _, x := range []*periodize.Forecast{p.A, p.B} {
			load := 0.0
			for d := 7*(w-1) + 1; d <= last; d++ {
				load += x.Load[d-1]
			}
			row = append(row, decimals(load, 1))
			d, _ := x.On(last)
			bands = append(bands, fmt.Sprintf("%s (%s to %s)", fixed(d.Mid, 2), fixed(d.Low, 2), fixed(d.High, 2)))
		}
		t.Row(append(row, bands...)...)
	}
	b.WriteString("\n" + t.String())
	b.WriteString(item("load in "+p.A.Daily.Unit+"; each plan's freshness in its own range, median (ends over the list)", "", sh.width))
	b.WriteString("\n" + freshestWords(sh, p.A, "A is") + freshestWords(sh, p.B, "B is"))
	c := p.Comparison
	b.WriteString("\n" + sh.bold("On "+dayName(p.A, p.On)) + "\n")
	b.WriteString(item(fmt.Sprintf("A is ahead in %d of %d parameter sets, B in %d, %d cannot tell them apart.",
		c.AheadA, len(c.Difference), c.AheadB, c.Even), "  ", sh.width))
	b.WriteString(item("Ahead is by the model alone, A less B in parts of the range that the set's performance runs through. What the plain model calls better is, in the end, less work before the day.", "  ", sh.width))
}

// printSets lists the assumed parameter sets.
func (o *forecastOptions) printSets(sh *shell) error {
	if o.json || o.lines {
		return sh.printJSON(struct {
			Sets    []jsonParameterSet `json:"sets"`
			Caveats []string           `json:"caveats"`
		}{parameterSetsJSON(response.AssumedSets()), response.Caveats()})
	}
	t := texttab.New(texttab.Left("parameter set"), texttab.Right("tau1 d"), texttab.Right("tau2 d"), texttab.Right("k2/k1"), texttab.Filling("from"))
	t.Style, t.Width = sh.head(), sh.width
	for _, s := range response.AssumedSets() {
		t.Row(s.Name, decimals(s.Tau1, 1), decimals(s.Tau2, 1), decimals(s.Ratio, 2), s.From)
	}
	return sh.print(t.String() + response.AssumedMark + "\n\n" + caveats(sh))
}
