package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"weighhouse/templates/numeral"
)

// version is the version of the program; it stands in every output, and the same inputs, date and version give the same
// bytes.
const version = "0.1.0"

// The exit statuses of the contract.
const (
	exitDone   = 0
	exitFailed = 1 // an input or the machine failed; no output file was left half written or changed
	exitUsage  = 2
	exitFound  = 3 // done, and what --fail-on names was found
)

// errFound says that the work is done and that what --fail-on names was found.
var errFound = errors.New("found what --fail-on names")

// errFailed says that the work failed and that the reasons are printed already.
var errFailed = errors.New("failed")

// hintMark begins a line that says what would help.
const hintMark = "  hint: "

// errUsage wraps an error in how the command was called.
type errUsage struct{ error }

// run runs the program and returns its exit status; tests call it in process.
func run(args []string, in io.Reader, out, errOut io.Writer) int {
	if wantsJSON(args) {
		lines := &lineEvents{log: eventLog{w: errOut}}
		defer lines.end()
		errOut = lines
	}
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errOut)
	err := root.Execute()
	var usage errUsage
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errFound):
		return exitFound
	case errors.Is(err, errFailed):
		return exitFailed
	case errors.As(err, &usage):
		text := strings.ReplaceAll(err.Error(), "\n", "\nweighhouse: ")
		reportError(root, "", fmt.Errorf("weighhouse: %s\n%sweighhouse --help lists the commands, weighhouse COMMAND --help the flags of one", text, hintMark))
		return exitUsage
	}
	reportError(root, "", err)
	return exitFailed
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "weighhouse",
		Short: "check the claims made for a room air cleaner against measurements",
		Long: "Weighhouse reads a spec book (what the maker claims) and a lab book (what was measured), turns the logs into results\n" +
			"with uncertainty, sets each claim against its result with a stated tolerance, and writes the audit.\n\n" +
			"Results relate only to the items tested. Outputs are general information, not legal advice.",
		Version:       version,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return errUsage{fmt.Errorf("unknown command %q", args[0])}
			}
			return c.Help()
		},
	}
	var logFormat string
	root.PersistentFlags().StringVar(&logFormat, "log-format", "text", "standard error: text, or json for one JSON object a line")
	completeWord(root, "log-format", "text", "json")
	root.PersistentPreRunE = func(*cobra.Command, []string) error {
		if logFormat != "text" && logFormat != "json" {
			return errUsage{fmt.Errorf("--log-format %q: expected text or json", logFormat)}
		}
		return nil
	}
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return errUsage{flagError(err)} })
	root.AddCommand(newAudit(), newVet(), newVerify(), newRules(), newDecay(), newNew(), newRank(), newLetter(), newIndex(), newRoom(), newNotices(), newCompletion())
	root.CompletionOptions.DisableDefaultCmd = true
	setHelp(root)
	return root
}

// flagError says in words what a flag takes that is no text.
func flagError(err error) error {
	what, how, ok := strings.Cut(err.Error(), ": strconv.Parse")
	switch {
	case ok && strings.HasPrefix(how, "Int"):
		return errors.New(what + ": expected a whole number")
	case ok && strings.HasPrefix(how, "Bool"):
		return errors.New(what + ": expected true or false")
	}
	return err
}

// atLeast asks for n arguments or more, and names what they are.
func atLeast(n int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) < n {
			return errUsage{fmt.Errorf("%s: expected %s", c.Name(), what)}
		}
		return nil
	}
}

// exactly asks for n arguments, and names what they are.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) != n {
			return errUsage{fmt.Errorf("%s: expected %s, found %s", c.Name(), what, numeral.Several(len(args), "argument"))}
		}
		return nil
	}
}
