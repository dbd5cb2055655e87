package sheet_test

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"github.com/blockwright/blockwright/periodize"
	"github.com/blockwright/blockwright/periodize/sheet"
	"github.com/blockwright/blockwright/periodize/sheet/internal/example"
)

// A reader of iCalendar written from RFC 5545 alone: it shares nothing with
// the writer, and is strict where the standard says MUST.

type icsProperty struct {
	name   string
	params map[string]string
	value  string
}

type icsComponent struct {
	name  string
	props []icsProperty
	subs  []*icsComponent
}

func (c *icsComponent) one(name string) (icsProperty, error) {
	var found []icsProperty
	for _, p := range c.props {
		if p.name == name {
			found = append(found, p)
		}
	}
	if len(found) != 1 {
		return icsProperty{}, fmt.Errorf("%s has %d of %s, want one", c.name, len(found), name)
	}
	return found[0], nil
}

var icsName = regexp.MustCompile(`^[A-Za-z0-9-]+`)

func parseICS(s string) (*icsComponent, error) {
	if !strings.HasSuffix(s, "\r\n") {
		return nil, errors.New("the last line does not end in CR LF")
	}
	// 3.1: lines end in CR LF and have at most 75 octets without it.
	var lines []string
	for i, l := range strings.Split(strings.TrimSuffix(s, "\r\n"), "\r\n") {
		if len(l) > 75 {
			return nil, fmt.Errorf("line %d has %d octets", i+1, len(l))
		}
		if strings.ContainsAny(l, "\r\n") {
			return nil, fmt.Errorf("line %d holds a bare line break", i+1)
		}
		if l != "" && (l[0] == ' ' || l[0] == '\t') {
			if len(lines) == 0 {
				return nil, errors.New("a continuation comes first")
			}
			lines[len(lines)-1] += l[1:]
			continue
		}
		lines = append(lines, l)
	}
	root := &icsComponent{name: "root"}
	stack := []*icsComponent{root}
	for _, l := range lines {
		p, err := parseProperty(l)
		if err != nil {
			return nil, fmt.Errorf("%q: %w", l, err)
		}
		top := stack[len(stack)-1]
		switch p.name {
		case "BEGIN":
			c := &icsComponent{name: p.value}
			top.subs = append(top.subs, c)
			stack = append(stack, c)
		case "END":
			if top.name != p.value {
				return nil, fmt.Errorf("END:%s inside %s", p.value, top.name)
			}
			stack = stack[:len(stack)-1]
		default:
			top.props = append(top.props, p)
		}
	}
	if len(stack) != 1 || len(root.subs) != 1 || root.subs[0].name != "VCALENDAR" || len(root.props) > 0 {
		return nil, errors.New("want one VCALENDAR and nothing else")
	}
	return root.subs[0], nil
}

// parseProperty reads name *(";" param) ":" value of 3.1.
func parseProperty(l string) (icsProperty, error) {
	p := icsProperty{params: map[string]string{}}
	p.name = icsName.FindString(l)
	if p.name == "" {
		return p, errors.New("no name")
	}
	l = l[len(p.name):]
	for strings.HasPrefix(l, ";") {
		l = l[1:]
		name := icsName.FindString(l)
		rest, ok := strings.CutPrefix(l[len(name):], "=")
		if name == "" || !ok {
			return p, errors.New("bad parameter")
		}
		end := strings.IndexAny(rest, ";:")
		if strings.HasPrefix(rest, `"`) {
			end = 2 + strings.IndexByte(rest[1:], '"')
		}
		if end < 1 {
			return p, errors.New("bad parameter value")
		}
		p.params[name] = strings.Trim(rest[:end], `"`)
		l = rest[end:]
	}
	v, ok := strings.CutPrefix(l, ":")
	if !ok {
		return p, errors.New("no value")
	}
	p.value = v
	return p, nil
}

// icsText reads a TEXT value of 3.3.11.
func icsText(v string) (string, error) {
	var b strings.Builder
	for i := 0; i < len(v); i++ {
		switch v[i] {
		case '\\':
			i++
			if i == len(v) {
				return "", errors.New("a backslash ends the value")
			}
			switch v[i] {
			case '\\', ';', ',':
				b.WriteByte(v[i])
			case 'n', 'N':
				b.WriteByte('\n')
			default:
				return "", fmt.Errorf("unknown escape \\%c", v[i])
			}
		case ';', ',':
			return "", fmt.Errorf("%c is not escaped", v[i])
		default:
			if v[i] < 0x20 && v[i] != '\t' {
				return "", errors.New("control character")
			}
			b.WriteByte(v[i])
		}
	}
	return b.String(), nil
}

type event struct {
	uid, summary, description string
	sequence                  string
	start, end, stamp         time.Time
}

// events reads and checks the events of a calendar.
func events(t *testing.T, s string) []event {
	t.Helper()
	cal, err := parseICS(s)
	if err != nil {
		t.Fatal(err)
	}
	// 3.6, 3.7.3, 3.7.4: PRODID and VERSION:2.0, each once.
	if _, err := cal.one("PRODID"); err != nil {
		t.Error(err)
	}
	if v, err := cal.one("VERSION"); err != nil || v.value != "2.0" {
		t.Errorf("version %q, %v", v.value, err)
	}
	var out []event
	seen := map[string]bool{}
	for _, c := range cal.subs {
		if c.name != "VEVENT" {
			t.Errorf("component %s", c.name)
			continue
		}
		get := func(name string) icsProperty {
			p, err := c.one(name)
			if err != nil {
				t.Error(err)
			}
			return p
		}
		text := func(name string) string {
			s, err := icsText(get(name).value)
			if err != nil {
				t.Errorf("%s: %v", name, err)
			}
			return s
		}
		// 3.3.4: a date is eight digits, and VALUE=DATE says so.
		date := func(name string) time.Time {
			p := get(name)
			d, err := time.Parse("20060102", p.value)
			if err != nil || p.params["VALUE"] != "DATE" {
				t.Errorf("%s: %q, %v", name, p.value, p.params)
			}
			return d
		}
		e := event{uid: get("UID").value, summary: text("SUMMARY"), description: text("DESCRIPTION"), sequence: get("SEQUENCE").value,
			start: date("DTSTART"), end: date("DTEND")}
		// 3.8.7.2: in UTC.
		if e.stamp, err = time.Parse("20060102T150405Z", get("DTSTAMP").value); err != nil {
			t.Error(err)
		}
		// 3.8.4.7: unique, and readers keep at least 255 octets.
		if seen[e.uid] || e.uid == "" || len(e.uid) > 255 {
			t.Errorf("uid %q", e.uid)
		}
		seen[e.uid] = true
		// 3.6.1: the end is exclusive and later than the start.
		if !e.end.Equal(e.start.AddDate(0, 0, 1)) {
			t.Errorf("%s: %v to %v is not one day", e.summary, e.start, e.end)
		}
		out = append(out, e)
	}
	return out
}

func TestCalendarReadsBack(t *testing.T) {
	prog := example.Program(t)
	got := events(t, render(t, prog, sheet.Calendar, sheet.Options{}))
	n := 0
	for p := range prog.Plans() {
		for i := range p.Sessions {
			s := &p.Sessions[i]
			e := got[n]
			n++
			if !strings.HasPrefix(e.summary, p.Lifter.Name+": "+s.Name) || e.start.Format(time.DateOnly) != s.Date.Format(time.DateOnly) ||
				!e.stamp.Equal(stamp) || e.sequence != "0" {
				t.Errorf("event %+v of %s, %s, %v", e, p.Lifter.Name, s.Name, s.Date)
			}
			for _, ex := range s.Exercises {
				if !strings.Contains(e.description, ex.Lift.Name) {
					t.Errorf("%s does not name %s", e.summary, ex.Lift.Name)
				}
			}
		}
	}
	if n != len(got) {
		t.Errorf("%d events for %d sessions", len(got), n)
	}
}

// A plan issued again a week later updates the events that were there: the
// same identifiers in the same order, a higher sequence, other dates.
func TestCalendarUpdates(t *testing.T) {
	before := events(t, render(t, example.Program(t), sheet.Calendar, sheet.Options{}))
	roster := example.Roster()
	roster.Start = roster.Start.AddDate(0, 0, 7)
	roster.Lifters[0].Maxes[0].Tested = example.KG(150)
	prog, err := periodize.Compile(example.Block(), roster)
	if err != nil {
		t.Fatal(err)
	}
	after := events(t, render(t, prog, sheet.Calendar, sheet.Options{Sequence: 1, Stamp: stamp.Add(time.Hour)}))
	if len(before) != len(after) {
		t.Fatalf("%d events, then %d", len(before), len(after))
	}
	for i := range after {
		b, a := before[i], after[i]
		if a.uid != b.uid || a.sequence != "1" || !a.start.Equal(b.start.AddDate(0, 0, 7)) || !a.stamp.After(b.stamp) {
			t.Errorf("%+v\nbecame %+v", b, a)
		}
	}
	// One week alone has the identifiers that it has in the whole.
	part := events(t, render(t, example.Program(t), sheet.Calendar, sheet.Options{Week: 2}))
	var want, got []string
	for _, e := range before {
		if strings.Contains(e.summary, "week 2") {
			want = append(want, e.uid)
		}
	}
	for _, e := range part {
		got = append(got, e.uid)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("identifiers of week 2 (-want +got):\n%s", diff)
	}
}
