// Blockwright plans strength training from the command line: see
// `blockwright --help`. It holds no mathematics; that is in the packages of the
// module, for programs to use.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"

	"github.com/blockwright/blockwright/internal/atomicfile"
)

func main() { os.Exit(run(os.Args, os.Stdin, os.Stdout, os.Stderr)) }

// grace is how long an interrupt waits for the work to be put down in order.
const grace = time.Second

// run is the program: the words of the command line in, an exit status out.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	// A reader that goes away shows as an error of writing, so that files being
	// written are tidied up; see status.
	signal.Ignore(syscall.SIGPIPE)
	// To be asked to end is an interrupt too: unfinished files are tidied up.
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	ended := make(chan struct{})
	defer close(ended)
	context.AfterFunc(ctx, func() {
		stop() // a second signal ends the program at once
		select {
		case <-ended:
		case <-time.After(grace):
			// In the middle of a long calculation, which asks for nothing.
			atomicfile.RemoveUnfinished()
			io.WriteString(stderr, "blockwright: "+interruptedText)
			os.Exit(statusInterrupted)
		}
	})

	sh := newShell(ctx, stdin, stdout, stderr)
	app := newApp(sh)
	var words []string
	if len(args) > 0 {
		words = args[1:]
	}
	if asked, ok := completing(words); ok {
		return sh.finish("", complete(app, asked, sh.stdout))
	}
	ln, err := parse(app, words)
	name := ""
	if ln.command != nil && ln.command.Name != "help" {
		name = ln.command.Name
	}
	switch {
	case err != nil:
		return sh.finish(name, err)
	case ln.help && ln.command != nil:
		return sh.finish(name, sh.print(commandHelp(ln.command)))
	case ln.help:
		return sh.finish("", sh.print(appHelp(app)))
	case ln.version:
		return sh.finish("", sh.print("blockwright "+version()+"\n"))
	case ln.command == nil:
		io.WriteString(stderr, appHelp(app))
		return statusWrong
	}
	return sh.finish(name, app.RunContext(ctx, ln.argv()))
}
