// Package sheet renders plans: as text for terminals and plain paper, Markdown,
// a self-contained HTML page to print and write on, CSV and JSON for programs,
// and iCalendar for phones. The workbook is in sheet/workbook, pictures are in
// sheet/figure.
//
// Plans go through a [Renderer] one by one, so that a roster of any length
// never has to be in memory:
//
//	r, err := sheet.New(sheet.Text, os.Stdout, sheet.Options{})
//	...
//	err = sheet.Render(r, prog.Block(), prog.Plans())
//
// Every format says the same: the same weights, repetitions and order. What
// people read is rounded to what they can do; JSON and CSV carry all digits.
//
// Every sheet carries cautions; see [Cautions] for which and when, and for
// their sources. They do not replace a facility's rules or licensed practice.
//
// # Sources
//
// RFC 4180 for CSV, RFC 5545 for iCalendar, RFC 8259 for JSON, GitHub Flavored
// Markdown 0.29 section 4.10 for tables, WCAG 2.2 for contrast, OWASP's page on
// CSV injection for what is defused in cells of free text.
package sheet
