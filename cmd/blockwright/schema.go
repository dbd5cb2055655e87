package main

import (
	"github.com/urfave/cli/v2"

	"github.com/blockwright/blockwright/periodize/blockfile"
)

func schemaCommand(sh *shell) *cli.Command {
	var fields bool
	var out string
	return &cli.Command{
		Name: "schema", Usage: "the JSON Schema of a file", ArgsUsage: "KIND",
		Description: "KIND is " + oneOf(blockfile.Kinds(), "or") + ". Editors that know JSON Schema can check and complete files\n" +
			"with it while they are written.",
		Flags: group("Output",
			on(&fields, "fields", "print the fields as a Markdown page for people instead"),
			path(&out, "out", "write to `FILE` instead of standard output"),
		),
		UsageText: "blockwright schema block --out block.schema.json\n" +
			"blockwright schema roster --fields",
		Action: func(c *cli.Context) error {
			args := c.Args().Slice()
			if err := wantArgs(args, "KIND (block, roster or brief)"); err != nil {
				return err
			}
			kind := ""
			for _, k := range blockfile.Kinds() {
				if k == args[0] {
					kind = k
				}
			}
			if kind == "" {
				if near := blockfile.Suggest(args[0], blockfile.Kinds()); near != "" {
					return usagef("there is no schema of %q: did you mean %s?", args[0], near)
				}
				return usagef("there is no schema of %q: want %s", args[0], oneOf(blockfile.Kinds(), "or"))
			}
			page := blockfile.Schema
			if fields {
				page = blockfile.Reference
			}
			text, err := page(kind)
			if err != nil {
				return err
			}
			return sh.output(out, text)
		},
	}
}
