package main

import (
	"runtime/debug"

	"github.com/urfave/cli/v2"
)

// newApp makes the command tree. It is made anew for every run, since flags
// keep what they were given.
func newApp(sh *shell) *cli.App {
	app := &cli.App{
		Name:      "blockwright",
		Usage:     "plans strength training: blocks, rosters, maxima, plates",
		UsageText: "blockwright COMMAND [FLAGS] [FILES]",
		Description: "A block file says what is to be done, for nobody in particular; a roster says who\n" +
			"does it and with what. `blockwright init DIR` writes a small example of each.\n\n" +
			"What is printed is arithmetic on numbers that somebody typed in. It is no medical\n" +
			"advice and replaces neither a qualified coach nor the rules of a facility.\n\n" +
			"Exit status: 0 done; 1 done, and a check that `--strict` asked for failed; 2 the input\n" +
			"or the command line is wrong, and nothing was written; 130 interrupted.",
		Flags: []cli.Flag{
			helpFlag(),
			&cli.BoolFlag{Name: "version", Usage: "print the version"},
		},
		Commands: []*cli.Command{
			planCommand(sh),
			reviewCommand(sh),
			draftCommand(sh),
			nextCommand(sh),
			estimateCommand(sh),
			platesCommand(sh),
			taperCommand(sh),
			attemptsCommand(sh),
			forecastCommand(sh),
			logCommand(sh),
			compareCommand(sh),
			initCommand(sh),
			schemaCommand(sh),
			completionCommand(sh),
			helpCommand(sh),
		},
		// What the library would print, and how it would exit, is ours to say.
		HideHelp:                  true,
		HideVersion:               true,
		DisableSliceFlagSeparator: true,
		ExitErrHandler:            func(*cli.Context, error) {},
		OnUsageError:              onUsageError,
		Reader:                    sh.stdin,
		Writer:                    sh.stdout,
		ErrWriter:                 sh.stderr,
	}
	for _, c := range app.Commands {
		c.HideHelp = true
		c.OnUsageError = onUsageError
		if c.Name != "help" {
			c.Flags = append(c.Flags, helpFlag())
		}
	}
	return app
}

func helpFlag() cli.Flag {
	return &cli.BoolFlag{Name: "help", Aliases: []string{"h"}, Usage: "print this page"}
}

// helpCommand is `help COMMAND`, another way of writing `COMMAND --help`.
func helpCommand(sh *shell) *cli.Command {
	return &cli.Command{
		Name: "help", Usage: "the page of a command", ArgsUsage: "[COMMAND]", UsageText: "blockwright help plan",
		Action: func(c *cli.Context) error {
			words := c.Args().Slice()
			switch len(words) {
			case 0:
				return sh.print(appHelp(c.App))
			case 1:
				cmd, err := findCommand(c.App, words[0])
				if err != nil {
					return err
				}
				return sh.print(commandHelp(cmd))
			}
			return usagef("want one command, got %d words", len(words))
		},
	}
}

// version is that of the module as it was built.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(devel)"
}
