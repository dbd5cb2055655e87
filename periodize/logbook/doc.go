// Package logbook reads training logs and draws conclusions from them: what was
// lifted, how well the published equations would have predicted it, and what to do next.
package logbook
