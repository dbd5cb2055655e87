package main

import (
	"embed"
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
	undo, err := makeFolder(dir)
	if err != nil {
		return err
	}
	var written []string
	for _, e := range entries {
		text, err := starter.ReadFile("starter/" + e.Name())
		if err != nil {
			return err
		}
		file := filepath.Join(dir, e.Name())
		if err := sh.output(file, text); err != nil {
			for _, f := range written { // all of them or none
				os.Remove(f)
			}
			undo()
			return err
		}
		written = append(written, file)
	}
	return sh.print(strings.Join(written, "\n") + "\n\nnext: blockwright plan " +
		shellWord(filepath.Join(dir, "block.yaml")) + " " + shellWord(filepath.Join(dir, "roster.yaml")) + "\n")
}
