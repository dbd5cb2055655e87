package blockfile

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"github.com/blockwright/blockwright/internal/legible"
	"github.com/blockwright/blockwright/plates"
)

// How the scalars of a file are read: from their text, by the rules of the YAML
// 1.2 core schema, never by the YAML library, which takes 010 for 8.

func isPlain(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) == 0
}

func isNull(n *yaml.Node) bool {
	if !isPlain(n) {
		return false
	}
	switch n.Value {
	case "", "~", "null", "Null", "NULL":
		return true
	}
	return false
}

func isBool(n *yaml.Node) bool {
	if !isPlain(n) {
		return false
	}
	switch n.Value {
	case "true", "True", "TRUE", "false", "False", "FALSE":
		return true
	}
	return false
}

// number10 is a number of the core schema and whatever else somebody may have
// meant as a number.
var number10 = regexp.MustCompile(`^[-+]?(\.[0-9]+|[0-9][0-9_]*(\.[0-9_]*)?)([eE][-+]?[0-9]+)?$|^[-+]?0[xob][0-9a-fA-F_]+$|^[-+]?\.(inf|Inf|INF)$|^\.(nan|NaN|NAN)$`)

func looksNumeric(s string) bool {
	return s != "" && strings.IndexByte("+-.0123456789", s[0]) >= 0 && number10.MatchString(s)
}

// decimal is the text of a plain decimal number of at most so many digits.
// words says what is wanted.
func (p place) decimal(words string, digits int) (string, bool) {
	n := p.node
	if n.Kind != yaml.ScalarNode || isNull(n) {
		return "", p.want(words)
	}
	s := n.Value
	hint, ok := plainDecimal(s, digits)
	switch {
	case ok && !isPlain(n):
		hint = "leave the quotes out"
	case ok:
		return strings.TrimPrefix(s, "+"), true
	}
	if hint != "" {
		hint = ": " + hint
	}
	p.fail("want %s, got %s%s", words, p.got(), hint)
	return "", false
}

// The most digits of a number: enough for what anybody writes, and well inside
// what exact arithmetic holds. A pound has ten digits in kilograms.
const (
	numberDigits   = 9
	numberDecimals = 6
	massDigits     = 15
)

// plainDecimal reports whether a text is a decimal number, with a hint where it
// is not and one is to be had.
func plainDecimal(s string, most int) (hint string, ok bool) {
	digits := strings.TrimLeft(s, "+-")
	if len(s)-len(digits) > 1 {
		return "", false
	}
	whole, fraction, point := strings.Cut(digits, ".")
	switch {
	case strings.Trim(whole+fraction, "0123456789") != "" || whole+fraction == "":
		return notDecimal(digits), false
	case whole == "" || point && fraction == "":
		return "want a digit on each side of the point", false
	case len(whole) > 1 && whole[0] == '0':
		return "a number has no leading zero", false
	case len(whole)+len(fraction) > most:
		return fmt.Sprintf("want at most %d digits", most), false
	case most == numberDigits && len(fraction) > numberDecimals:
		return fmt.Sprintf("want at most %d decimals", numberDecimals), false
	}
	return "", true
}

// notDecimal says what kept a text from being a decimal number, "" for a text
// that was hardly meant as one.
func notDecimal(s string) string {
	lower := strings.ToLower(s)
	switch {
	case lower == ".inf" || lower == ".nan" || lower == "inf" || lower == "nan" || lower == "infinity":
		return "want a finite number"
	case strings.Count(s, ",") == 1 && strings.Trim(s, "0123456789,") == "":
		return "the decimal sign is a point"
	case strings.HasSuffix(s, "%") && strings.Trim(s, "0123456789.%") == "":
		return "leave the per cent sign out"
	case !looksNumeric(s):
		return ""
	case strings.Contains(s, "_"):
		return "want digits without underscores"
	case len(s) > 1 && s[0] == '0' && strings.ContainsAny(lower[1:2], "xob"):
		return "want a decimal number"
	}
	return "want a number without an exponent"
}

// ratio is an exact decimal number.
func (p place) ratio(words string) (plates.Ratio, bool) {
	s, ok := p.decimal(words, numberDigits)
	if !ok {
		return plates.Ratio{}, false
	}
	v, err := plates.ParseRatio(s)
	if err != nil {
		return plates.Ratio{}, p.want(words)
	}
	return v, true
}

// whole is a whole number. 3.0 is one, as it is for a JSON Schema.
func (p place) whole(words string) (int64, bool) {
	s, ok := p.decimal(words, numberDigits)
	if !ok {
		return 0, false
	}
	whole, fraction, _ := strings.Cut(s, ".")
	if strings.Trim(fraction, "0") != "" {
		return 0, p.want(words)
	}
	v, err := strconv.ParseInt(whole, 10, 64)
	if err != nil {
		return 0, p.want(words)
	}
	return v, true
}

// hidden reports whether a text has characters that cannot stand in a line of a sheet.
func hidden(s string) bool { return strings.IndexFunc(s, legible.Hidden) >= 0 }

// text is a text of one line, or of several where lines is true.
func (p place) text(words string, most int, lines bool) (string, bool) {
	n := p.node
	s := n.Value
	switch {
	case n.Kind != yaml.ScalarNode || isNull(n):
		return "", p.want(words)
	case isPlain(n) && (isBool(n) || looksNumeric(s)):
		p.fail("want %s, got %s: put a text that looks like a number, true or false in quotes", words, shorten(s))
		return "", false
	case strings.TrimSpace(s) == "":
		return "", p.want(words)
	case utf8.RuneCountInString(s) > most:
		p.fail("want at most %d characters, got %d", most, utf8.RuneCountInString(s))
		return "", false
	}
	if lines {
		s = strings.TrimRight(s, "\n")
		if hidden(strings.NewReplacer("\n", "", "\t", "").Replace(s)) {
			return "", p.want("text without control or invisible characters")
		}
		return s, true
	}
	switch {
	case hidden(s):
		return "", p.want("text in one line, without control or invisible characters")
	case !legible.Line(s):
		return "", p.want("text without blanks or invisible characters at its ends")
	}
	return s, true
}

// word is a text that is one of a closed list.
func (p place) word(words string, list []string) (string, bool) {
	s := p.node.Value
	if p.node.Kind != yaml.ScalarNode || isNull(p.node) {
		return "", p.want(words)
	}
	for _, w := range list {
		if w == s {
			return s, true
		}
	}
	switch near := Suggest(s, list); {
	case near == "":
		return "", p.want(words)
	case len(list) > 5:
		p.fail("unknown word %q; did you mean %q?", s, near)
	default:
		p.fail("want %s, got %s; did you mean %q?", words, p.got(), near)
	}
	return "", false
}

// boolean is true or false.
func (p place) boolean() (bool, bool) {
	if !isBool(p.node) {
		return false, p.want("true or false")
	}
	return strings.EqualFold(p.node.Value, "true"), true
}

// date is a day, at midnight UTC.
func (p place) date(words string) (time.Time, bool) {
	s := p.node.Value
	if p.node.Kind == yaml.ScalarNode && len(s) == len(time.DateOnly) {
		if t, err := time.Parse(time.DateOnly, s); err == nil && 1900 <= t.Year() && t.Year() < 2200 {
			return t, true
		}
	}
	return time.Time{}, p.want(words)
}

var durationForm = regexp.MustCompile(`^(?:([0-9]{1,4})h)?(?:([0-9]{1,4})m)?(?:([0-9]{1,5})s)?$`)

// seconds is a duration such as 90s, 3m, 2m30s or 1h15m.
func (p place) seconds(words string) (int64, bool) {
	m := durationForm.FindStringSubmatch(p.node.Value)
	if p.node.Kind != yaml.ScalarNode || m == nil || p.node.Value == "" {
		if s, ok := strings.CutPrefix(p.node.Value, "-"); ok && durationForm.MatchString(s) {
			return 0, p.want(words)
		}
		if _, ok := plainDecimal(p.node.Value, numberDigits); ok {
			p.fail("want %s, got %s: a duration needs its unit", words, p.got())
			return 0, false
		}
		return 0, p.want(words)
	}
	var total int64
	for i, unit := range []int64{3600, 60, 1} {
		if m[i+1] != "" {
			n, _ := strconv.ParseInt(m[i+1], 10, 64) // at most five digits
			total += n * unit
		}
	}
	return total, true
}

// durationText is whole seconds as files write them.
func durationText(seconds int64) string {
	if seconds == 0 {
		return "0s"
	}
	var b strings.Builder
	for _, u := range []struct {
		seconds int64
		name    string
	}{{3600, "h"}, {60, "m"}, {1, "s"}} {
		if u.seconds > 1 && seconds < 2*u.seconds && seconds%u.seconds != 0 {
			continue // 75m and 90s read better than 1h15m and 1m30s
		}
		if n := seconds / u.seconds; n > 0 {
			fmt.Fprintf(&b, "%d%s", n, u.name)
			seconds %= u.seconds
		}
	}
	return b.String()
}

var tempoForm = regexp.MustCompile(`^[0-9](?:\.[0-9])?(?:-[0-9](?:\.[0-9])?){3}$`)

// tempo is the seconds of one repetition: 4s, or the four phases 3-1-1-0.
func (p place) tempo(words string) (float64, bool) {
	s := p.node.Value
	if p.node.Kind != yaml.ScalarNode {
		return 0, p.want(words)
	}
	var total plates.Ratio
	if tempoForm.MatchString(s) {
		for part := range strings.SplitSeq(s, "-") {
			v, err := plates.ParseRatio(part)
			if err != nil {
				return 0, p.want(words)
			}
			total = total.Add(v)
		}
	} else {
		number, unit := strings.CutSuffix(s, "s")
		if _, ok := plainDecimal(number, numberDigits); !ok || !unit {
			return 0, p.want(words)
		}
		v, err := plates.ParseRatio(number)
		if err != nil {
			return 0, p.want(words)
		}
		total = v
	}
	f := total.Float64()
	if f <= 0 || f > 60 {
		return 0, p.want(words)
	}
	return f, true
}

// units are the units of mass.
var units = [...]plates.Unit{plates.KG, plates.LB}

// mass is a mass, a bare number being in the unit that is known at that place.
func (p place) mass(words string) (plates.Mass, bool) {
	n := p.node
	if n.Kind != yaml.ScalarNode || isNull(n) {
		return 0, p.want(words)
	}
	s := n.Value
	number, unit := s, p.r.unit
	for _, u := range units {
		if rest, ok := strings.CutSuffix(s, u.String()); ok {
			number, unit = strings.TrimSuffix(rest, " "), u
		}
	}
	if number == s { // bare
		if _, ok := p.decimal(words, massDigits); !ok {
			return 0, false
		}
		if !p.r.units {
			p.fail("%s has no unit: %s", s, p.r.noUnits)
			return 0, false
		}
	} else if hint, ok := plainDecimal(number, massDigits); !ok {
		if hint != "" {
			hint = ": " + hint
		}
		p.fail("want %s, got %s%s", words, p.got(), hint)
		return 0, false
	}
	m, _, err := plates.ParseMassIn(strings.TrimPrefix(number, "+"), unit)
	if err != nil {
		return 0, p.want(words)
	}
	return m, true
}
