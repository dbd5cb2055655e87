package texttab_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"github.com/blockwright/blockwright/internal/texttab"
)

func TestTableAligns(t *testing.T) {
	tab := texttab.New(texttab.Left("lift"), texttab.Right("max\nkg"), texttab.Wrapped("note", 12))
	tab.Row("press", "42.5", "bar first, then the plates")
	tab.Row("李娜 deadlift", "107.5")
	tab.Row("e\u0301clair", "9", "x", "dropped")
	want := strings.Join([]string{
		"                 max",
		"lift              kg  note",
		"press           42.5  bar first,",
		"                      then the",
		"                      plates",
		"李娜 deadlift  107.5",
		"e\u0301clair             9  x",
		"",
	}, "\n")
	if diff := cmp.Diff(want, tab.String()); diff != "" {
		t.Errorf("table (-want +got):\n%s", diff)
	}
}

func TestTableWithoutHeadAndWithIndent(t *testing.T) {
	tab := texttab.New(texttab.Left(""), texttab.Right(""))
	tab.Indent, tab.Gap = "> ", " | "
	tab.Row("a", "1")
	tab.Row("bb", "22")
	if got, want := tab.String(), "> a  |  1\n> bb | 22\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := texttab.New().String(); got != "" {
		t.Errorf("a table without columns prints %q", got)
	}
}

func TestFillingColumn(t *testing.T) {
	tab := texttab.New(texttab.Left("a"), texttab.Filling("words"), texttab.Right("n"))
	tab.Width, tab.Indent = 31, " "
	tab.Row("x", "one two three four five six", "12")
	want := " a  words                     n\n x  one two three four five  12\n    six\n"
	if diff := cmp.Diff(want, tab.String()); diff != "" {
		t.Errorf("table (-want +got):\n%s", diff)
	}
	tab.Width = 5 // too narrow: the column keeps its least width
	if !strings.Contains(tab.String(), "one two     12\n") {
		t.Errorf("squeezed:\n%s", tab)
	}
}

func TestHeadStyle(t *testing.T) {
	tab := texttab.New(texttab.Left("a"))
	tab.Style = func(s string) string { return "<" + s + ">" }
	tab.Row("longer")
	if got, want := tab.String(), "<a>\nlonger\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// Every line of a table of single-line cells is as wide as the widest one
// once the trailing spaces are put back, whatever the cells hold.
func TestLinesHaveOneWidth(t *testing.T) {
	cell := rapid.StringOfN(rapid.RuneFrom([]rune("ab 1é漢ｱ\u0301–")), 0, 8, -1)
	rapid.Check(t, func(t *rapid.T) {
		tab := texttab.New(texttab.Left(""), texttab.Right(""), texttab.Left(""))
		n := rapid.IntRange(1, 5).Draw(t, "rows")
		for range n {
			tab.Row(cell.Draw(t, "a"), cell.Draw(t, "b"), "|")
		}
		at := -1
		for line := range strings.Lines(tab.String()) {
			line = strings.TrimSuffix(line, "\n")
			w := texttab.Width(line)
			if at >= 0 && w != at {
				t.Fatalf("line %q is %d wide, the one before %d", line, w, at)
			}
			at = w
		}
	})
}

func TestWrapKeepsWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringOfN(rapid.RuneFrom([]rune("abc  漢")), 0, 60, -1).Draw(t, "s")
		width := rapid.IntRange(1, 20).Draw(t, "width")
		got := texttab.Wrap(s, width)
		if diff := cmp.Diff(strings.Fields(s), strings.Fields(got)); diff != "" {
			t.Fatalf("words (-want +got):\n%s", diff)
		}
		for _, l := range strings.Split(got, "\n") {
			if texttab.Width(l) > width && strings.Contains(strings.TrimSpace(l), " ") {
				t.Fatalf("line %q is wider than %d", l, width)
			}
		}
	})
}
