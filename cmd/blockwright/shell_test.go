package main

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"
)

func TestColorful(t *testing.T) {
	for _, tc := range []struct {
		noColor, term string
		want          bool
	}{
		{"", "xterm", true},
		{"1", "xterm", false},
		{"0", "xterm", false},
		{"", "dumb", false},
	} {
		env := map[string]string{"NO_COLOR": tc.noColor, "TERM": tc.term}
		if got := colorful(func(k string) string { return env[k] }); got != tc.want {
			t.Errorf("NO_COLOR=%q TERM=%q: %v", tc.noColor, tc.term, got)
		}
	}
}

// TestNoTerminal: a pipe gets neither colour nor progress.
func TestNoTerminal(t *testing.T) {
	sh := newShell(context.Background(), strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{})
	if sh.color || sh.terminal || sh.progress != nil || sh.width != plainWidth {
		t.Errorf("%+v", sh)
	}
	sh.progress.step(1, 2, "things") // a nil one is silent
	sh.progress.clear()
	if s := sh.bold("x"); s != "x" {
		t.Errorf("bold is %q", s)
	}
}

func TestProgress(t *testing.T) {
	var b bytes.Buffer
	p := &progress{w: &b, start: time.Now()}
	p.step(1, 4, "lifters")
	p.clear()
	if b.Len() > 0 {
		t.Errorf("%q within the first second", b.String())
	}
	p.start = p.start.Add(-2 * time.Second)
	p.step(1, 4, "lifters")
	p.step(2, 4, "lifters") // too soon after the first
	if got, want := b.String(), "\r[######..................] 1 of 4 lifters"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	b.Reset()
	p.clear()
	p.clear()
	if got := b.String(); got != "\r\x1b[K" {
		t.Errorf("%q at the end", got)
	}
}

// TestPatient: an interrupt is not held up by input that never comes.
func TestPatient(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	block := make(chan struct{})
	defer close(block)
	p := &patient{ctx: ctx, in: blocked{block}}
	cancel()
	if _, err := p.Read(make([]byte, 8)); err != context.Canceled {
		t.Errorf("%v, want %v", err, context.Canceled)
	}
	p = &patient{ctx: context.Background(), in: strings.NewReader("abc")}
	b := make([]byte, 8)
	if n, err := p.Read(b); n != 3 || err != nil || string(b[:n]) != "abc" {
		t.Errorf("%d %v %q", n, err, b[:n])
	}
}

type blocked struct{ until chan struct{} }

func (b blocked) Read([]byte) (int, error) { <-b.until; return 0, nil }
