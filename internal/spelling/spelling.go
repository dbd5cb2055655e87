// Package spelling finds the name that somebody meant to type.
package spelling

import "strings"

// Nearest is the choice nearest to a word that is none of them: within two
// edits (a letter more, a letter less, another letter, two letters swapped; one
// edit where the word or the choice has fewer than four letters), case
// aside. Of equally near ones it is the first. It is "" where none is near.
func Nearest(word string, choices []string) string {
	const most = 2
	w := []rune(strings.ToLower(word))
	best, bestEdits := "", most+1
	for _, c := range choices {
		r := []rune(strings.ToLower(c))
		if max(len(r)-len(w), len(w)-len(r)) > most {
			continue
		}
		allowed := most
		if min(len(w), len(r)) < 4 {
			allowed = min(len(w), len(r), 2) - 1
		}
		if d := edits(w, r); d <= allowed && d < bestEdits {
			best, bestEdits = c, d
		}
	}
	return best
}

// edits is the optimal string alignment distance: the fewest insertions,
// deletions, substitutions and swaps of neighbours, no part edited twice.
func edits(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
