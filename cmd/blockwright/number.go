package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/blockwright/blockwright/plates"
)

// Numbers on the command line are read as strictly as those in files: plain
// decimals, so that nothing is taken for another number than it looks.

// hint ends a message with what else is to be said.
func hint(err error) string {
	if err == nil || err.Error() == "" {
		return ""
	}
	return ": " + err.Error()
}

const mostDigits = 15

// plainDecimal says what keeps a text from being a plain decimal number; the
// error's text is empty where there is nothing more to say.
func plainDecimal(s string) error {
	digits := strings.TrimPrefix(s, "-")
	whole, fraction, point := strings.Cut(digits, ".")
	lower := strings.ToLower(digits)
	switch {
	case lower == "nan" || lower == "inf" || lower == "+inf" || lower == "infinity":
		return errors.New("want a finite number")
	case strings.Count(digits, ",") == 1 && strings.Trim(digits, "0123456789,") == "":
		return errors.New("the decimal sign is a point")
	case digits == "" || strings.Trim(digits, "0123456789+-.eExXoObBaAcCdDfF_") != "" || strings.Trim(digits, "0123456789") == digits:
		return errors.New("")
	case strings.Contains(digits, "_"):
		return errors.New("want digits without underscores")
	case strings.HasPrefix(digits, "+"):
		return errors.New("leave the plus sign out")
	case len(lower) > 1 && lower[0] == '0' && strings.ContainsAny(lower[1:2], "xob"):
		return errors.New("want a decimal number")
	case strings.ContainsAny(lower, "e"):
		return errors.New("want a number without an exponent")
	case strings.Trim(whole+fraction, "0123456789") != "":
		return errors.New("")
	case whole == "" || point && fraction == "":
		return errors.New("want a digit on each side of the point")
	case len(whole) > 1 && whole[0] == '0':
		return errors.New("a number has no leading zero")
	case len(whole)+len(fraction) > mostDigits:
		return fmt.Errorf("want at most %d digits", mostDigits)
	}
	return nil
}

func readCount(s string, low, high int) (int, error) {
	if strings.Contains(s, ",") {
		return 0, errors.New("") // a list rather than a decimal sign
	}
	if err := plainDecimal(s); err != nil {
		return 0, err
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < low || n > high {
		return 0, errors.New("")
	}
	return n, nil
}

func readNumber(s string, low, high float64) (float64, error) {
	if err := plainDecimal(s); err != nil {
		return 0, err
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || x < low || x > high {
		return 0, errors.New("")
	}
	return x + 0, nil // -0 is 0
}

// mostMass is the heaviest mass that is read.
const mostMass = 5000 * plates.Kilogram

// readMass reads a mass from 0 up; a bare number is in u.
func readMass(s string, u plates.Unit) (plates.Mass, error) {
	for _, unit := range []string{"kgs", "lbs", "kilos", "pounds", "kg.", "lb."} {
		if n, ok := strings.CutSuffix(strings.ToLower(s), unit); ok && plainDecimal(strings.TrimSpace(n)) == nil {
			return 0, errors.New("the units are kg and lb")
		}
	}
	number := s
	for _, unit := range []string{"kg", "lb"} {
		if n, ok := strings.CutSuffix(s, unit); ok {
			number = strings.TrimSuffix(n, " ")
		}
	}
	if err := plainDecimal(number); err != nil {
		return 0, err
	}
	m, _, err := plates.ParseMassIn(s, u)
	switch {
	case err != nil:
		return 0, errors.New("")
	case m < 0:
		return 0, errors.New("want 0 or more")
	case m > mostMass:
		return 0, errors.New("want at most 5000kg")
	}
	return m, nil
}

func readDate(s string) (time.Time, error) {
	if len(s) != len(time.DateOnly) {
		return time.Time{}, errors.New("")
	}
	t, err := time.Parse(time.DateOnly, s)
	switch {
	case err != nil && strings.Contains(err.Error(), "out of range"):
		return time.Time{}, errors.New("there is no such day")
	case err != nil:
		return time.Time{}, errors.New("")
	case t.Year() < 1900 || t.Year() >= 2200:
		return time.Time{}, errors.New("want a year from 1900 to 2199")
	}
	return t, nil
}

// isDate reports whether a word is a day rather than a file.
func isDate(s string) bool {
	_, err := readDate(s)
	return err == nil
}

// plural is a number and what it counts.
func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// decimals prints a number with at most so many decimals, trailing zeros left out.
func decimals(x float64, places int) string {
	s := strconv.FormatFloat(x, 'f', places, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// fixed prints a number with so many decimals, for columns.
func fixed(x float64, places int) string {
	s := strconv.FormatFloat(x, 'f', places, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// massText is a mass to a hundredth of the unit, as people read it.
func massText(m plates.Mass, u plates.Unit) string {
	return plates.ExactOf(m).RoundTo(u.One()/100, plates.Nearest).Text(u)
}

// maxText is a maximum: as it is where two decimals say it, else to one, as of one that was
// written in the other unit.
func maxText(m plates.Mass, u plates.Unit) string {
	if x := plates.ExactOf(m); x.RoundTo(u.One()/100, plates.Nearest) != m {
		m = x.RoundTo(u.One()/10, plates.Nearest)
	}
	return m.Text(u)
}
