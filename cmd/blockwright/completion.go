package main

import "github.com/urfave/cli/v2"

func shells() []string { return []string{"bash", "zsh", "fish"} }

// completionScripts ask the program itself, so that they never grow stale.
var completionScripts = map[string]string{
	"bash": `# blockwright completion for bash: source <(blockwright completion bash)
_blockwright() {
    local IFS=$'\n' word line typed=()
    # bash takes --flag=value apart at the equals sign
    for word in "${COMP_WORDS[@]:1:COMP_CWORD}"; do
        if [[ ${#typed[@]} -gt 0 && ( $word == "=" || ${typed[-1]} == -*= ) ]]; then
            typed[-1]+=$word
        else
            typed+=("$word")
        fi
    done
    COMPREPLY=()
    for line in $("${COMP_WORDS[0]}" "${typed[@]}" --generate-bash-completion 2>/dev/null); do
        [[ $line == -*=* ]] && line=${line#*=}
        COMPREPLY+=("$(printf '%q' "$line")")
    done
}
complete -o default -F _blockwright blockwright
`,
	"zsh": `#compdef blockwright
# blockwright completion for zsh: source <(blockwright completion zsh)
_blockwright() {
    local -a found
    found=("${(@f)$("${words[1]}" "${(@)words[2,CURRENT]}" --generate-bash-completion 2>/dev/null)}")
    if [[ -n "${found[1]}" ]]; then
        compadd -- "${found[@]}"
    else
        _files
    fi
}
if [[ "$funcstack[1]" == "_blockwright" ]]; then
    _blockwright "$@"
else
    compdef _blockwright blockwright
fi
`,
	"fish": `# blockwright completion for fish: blockwright completion fish | source
function __blockwright_complete
    set -l words (commandline -opc)
    set -l found ($words[1] $words[2..] (commandline -ct) --generate-bash-completion 2>/dev/null)
    if test (count $found) -gt 0
        printf '%s\n' $found
    else
        __fish_complete_path (commandline -ct)
    end
end
complete -c blockwright -f -a '(__blockwright_complete)'
`,
}

func completionCommand(sh *shell) *cli.Command {
	return &cli.Command{
		Name: "completion", Usage: "a script that completes command lines", ArgsUsage: "SHELL",
		Description: "SHELL is bash, zsh or fish. The script asks blockwright itself, so that it need not\n" +
			"be made anew for a newer version.",
		UsageText: "source <(blockwright completion bash)\n" +
			"blockwright completion fish | source",
		Action: func(c *cli.Context) error {
			args := c.Args().Slice()
			if err := wantArgs(args, "SHELL (bash, zsh or fish)"); err != nil {
				return err
			}
			script, ok := completionScripts[args[0]]
			if !ok {
				return usagef("unknown shell %q: want %s", args[0], oneOf(shells(), "or"))
			}
			return sh.print(script)
		},
	}
}
