package blockfile

import (
	"fmt"
	"strings"

	"github.com/blockwright/blockwright/internal/spelling"
)

// Suggest is the choice nearest to a word that is none of them: within two
// edits (a letter more, a letter less, another letter, two letters swapped; one
// edit where the word or the choice has fewer than four letters), case
// aside. Of equally near ones it is the first. It is "" where none is near.
func Suggest(word string, choices []string) string {
	return spelling.Nearest(word, choices)
}

// nearest ends a message about a name that does not resolve: the nearest
// choice, or else the choices, many of them cut short.
func nearest(word string, choices []string) string {
	if s := Suggest(word, choices); s != "" {
		return fmt.Sprintf("did you mean %q?", s)
	}
	return "want " + oneOf(choices)
}

// oneOf lists choices in words.
func oneOf(choices []string) string {
	const most = 20
	switch n := len(choices); {
	case n == 0:
		return "nothing, since there is none"
	case n == 1:
		return choices[0]
	case n > most:
		return fmt.Sprintf("one of %s and %d more", strings.Join(choices[:most], ", "), n-most)
	default:
		return strings.Join(choices[:n-1], ", ") + " or " + choices[n-1]
	}
}
