package main

import (
	"embed"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"
)

// starter holds the files that init writes: an invented block, roster and log.
//
//go:embed starter
var starter embed.FS

func initCommand(sh *shell) *cli.Command {
	return &cli.Command{
		Name: "init", Usage: "a small block, roster and log to start from", ArgsUsage: "DIR",
		Description: "Writes block.yaml, roster.yaml and log.csv into DIR, which is made if need be. The\n" +
			"people and numbers in them are invented. Nothing that is there is overwritten.",
		UsageText: "blockwright init gym && blockwright plan gym/block.yaml gym/roster.yaml",
		Action: func(c *cli.Context) error {
			args := c.Args().Slice()
			if err := wantArgs(args, "DIR"); err != nil {
				return err
			}
			return initialise(sh, args[0])
		},
	}
}

func initialise(sh *shell, dir string) error {
	entries, err := starter.ReadDir("starter")
	if err != nil {
		return err
	}
	var there []string
	for _, e := range entries {
		if _, err := os.Lstat(filepath.Join(dir, e.Name())); err == nil {
			there = append(there, filepath.Join(dir, e.Name()))
		}
	}
	if len(there) > 0 {
		is := "are"
		if len(there) == 1 {
			is = "is"
		}
		return usagef("%s %s there already and nothing is overwritten: want another folder", oneOf(there, "and"), is)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return &fs.PathError{Op: "make folder", Path: dir, Err: underlying(err)}
	}
	var out strings.Builder
	for _, e := range entries {
		text, err := starter.ReadFile("starter/" + e.Name())
		if err != nil {
			return err
		}
		file := filepath.Join(dir, e.Name())
		if err := writeNew(file, text); err != nil {
			return err
		}
		out.WriteString(file + "\n")
	}
	out.WriteString("\nnext: blockwright plan " + shellWord(filepath.Join(dir, "block.yaml")) + " " + shellWord(filepath.Join(dir, "roster.yaml")) + "\n")
	return sh.print(out.String())
}

// writeNew writes a file that must not be there yet, whole or not at all.
func writeNew(path string, text []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.Write(text)
	if err = errors.Join(err, f.Close()); err != nil {
		os.Remove(path)
	}
	return err
}
