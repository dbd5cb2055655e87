package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func write(t *testing.T, name, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return file
}

func TestRun(t *testing.T) {
	roster := write(t, "roster.csv", "lifter,m1,m2\n1,100,61.5\nBo,150,80\n")
	program := write(t, "program.csv", "week,day,exercise,set,percent,reps\n1,1,1,1,57.5,5\n1,1,1,2,70,3\n1,1,2,1,80,5\n2,1,1,1,60,5\n2,1,1,2,75,3\n2,1,2,1,85,4\n")
	out := filepath.Join(t.TempDir(), "out.csv")
	if err := run([]string{roster, program, out}, &bytes.Buffer{}); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	// By hand, in steps of 0.5 kg: 80 % of 61.5 is 49.2, nearest 49; 57.5 % of 150 is
	// 86.25, halfway, up to 86.5; 85 % of 61.5 is 52.275, nearest 52.5.
	want := `lifter,week,session,exercise,set,reps,load_kg
1,1,1,1,1,5,57.5
1,1,1,1,2,3,70
1,1,1,2,1,5,49
1,2,1,1,1,5,60
1,2,1,1,2,3,75
1,2,1,2,1,4,52.5
Bo,1,1,1,1,5,86.5
Bo,1,1,1,2,3,105
Bo,1,1,2,1,5,64
Bo,2,1,1,1,5,90
Bo,2,1,1,2,3,112.5
Bo,2,1,2,1,4,68
`
	if s := strings.ReplaceAll(string(got), "\r\n", "\n"); s != want {
		t.Errorf("got\n%s", s)
	}
	var sum bytes.Buffer
	if err := run([]string{roster, program}, &sum); err != nil || sum.String() != "12 weights, 890.0 kg\n" {
		t.Errorf("%q, %v", sum.String(), err)
	}
	for name, args := range map[string][]string{
		"no files": {}, "no such file": {roster, "none.csv"}, "a roster for a program": {roster, roster}, "a program for a roster": {program, program},
	} {
		if err := run(args, &bytes.Buffer{}); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
