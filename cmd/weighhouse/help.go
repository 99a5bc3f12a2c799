package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// setHelp gives a command and all below it the help screens of this program: what it does, how it is called, examples,
// commands, options.
func setHelp(root *cobra.Command) {
	root.SetUsageFunc(func(c *cobra.Command) error { return printUsage(c.OutOrStderr(), c) })
	root.SetHelpFunc(func(c *cobra.Command, _ []string) {
		about := c.Long
		if about == "" {
			about = c.Short
		}
		fmt.Fprintf(c.OutOrStdout(), "%s\n\n", strings.TrimSpace(about))
		_ = printUsage(c.OutOrStdout(), c)
	})
	root.SetHelpCommand(&cobra.Command{
		Use:   "help [COMMAND]",
		Short: "what a command does and takes",
		RunE: func(c *cobra.Command, args []string) error {
			of, rest, err := c.Root().Find(args)
			if err != nil || len(rest) > 0 {
				return errUsage{fmt.Errorf("unknown command %q", strings.Join(args, " "))}
			}
			return of.Help()
		},
	})
	for _, c := range append(root.Commands(), root) {
		c.InitDefaultHelpFlag()
		c.Flags().Lookup("help").Usage = "prints this"
	}
	root.InitDefaultVersionFlag()
	root.Flags().Lookup("version").Usage = "prints the program's version"
	root.SetVersionTemplate("{{.Name}} {{.Version}}\n")
}

// printUsage prints how a command is called, its examples, the commands below it and its options.
func printUsage(w io.Writer, c *cobra.Command) error {
	var b strings.Builder
	call := strings.TrimSuffix(c.UseLine(), " [flags]")
	if c.HasAvailableSubCommands() {
		call = c.CommandPath() + " COMMAND"
	}
	fmt.Fprintf(&b, "Called as:  %s [OPTIONS]\n", call)
	if c.Example != "" {
		fmt.Fprintf(&b, "\nFor example\n%s\n", strings.TrimRight(c.Example, "\n"))
	}
	var names [][2]string
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() || sub.Name() == "help" {
			names = append(names, [2]string{sub.Name(), sub.Short})
		}
	}
	columns(&b, "Commands", names)
	columns(&b, "Options", options(c.LocalNonPersistentFlags()))
	every := c.InheritedFlags()
	if c.Root() == c {
		every = c.PersistentFlags()
	}
	columns(&b, "Options of every command", options(every))
	if len(names) > 0 {
		fmt.Fprintf(&b, "\n%s COMMAND --help says more of a command.\n", c.CommandPath())
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// columns prints a list of names with what each is, under a head; nothing where the list is empty.
func columns(b *strings.Builder, head string, rows [][2]string) {
	if len(rows) == 0 {
		return
	}
	wide := 0
	for _, r := range rows {
		wide = max(wide, utf8.RuneCountInString(r[0]))
	}
	fmt.Fprintf(b, "\n%s\n", head)
	for _, r := range rows {
		fmt.Fprintf(b, "  %s%s   %s\n", r[0], strings.Repeat(" ", wide-utf8.RuneCountInString(r[0])), r[1])
	}
}

// options lists the flags of a set, each with what it takes, what it is, and what holds where it is not given.
func options(set *pflag.FlagSet) (rows [][2]string) {
	set.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		name := "--" + f.Name
		if f.Shorthand != "" {
			name = "-" + f.Shorthand + ", " + name
		}
		about := f.Usage
		switch f.Value.Type() {
		case "bool":
		case "int":
			name += " N"
		case "stringArray", "stringSlice":
			name += " TEXT…"
		default:
			name += " TEXT"
		}
		if d := f.DefValue; d != "" && d != "[]" && d != "false" && d != "0" {
			about += " (" + d + " where not given)"
		}
		rows = append(rows, [2]string{name, about})
	})
	return rows
}

// shells are the shells that the program writes a completion for.
var shells = []string{"bash", "fish", "powershell", "zsh"}

const oneShell = "bash, fish, powershell or zsh"

// newCompletion returns the command that prints what a shell needs to complete commands.
func newCompletion() *cobra.Command {
	var bare bool
	c := &cobra.Command{
		Use:   "completion SHELL",
		Short: "prints what a shell needs to complete commands",
		Long: "Completion prints what a shell needs to complete commands, options and their words. SHELL is one of " + oneShell + ".\n" +
			"Bash needs its package bash-completion; a new shell is opened for it to take effect.",
		Example:   "  source <(weighhouse completion bash)                               this shell alone\n  weighhouse completion bash > /etc/bash_completion.d/weighhouse    every new one",
		ValidArgs: shells,
		Args:      exactly(1, "one shell: "+oneShell),
		RunE: func(c *cobra.Command, args []string) error {
			w, root := c.OutOrStdout(), c.Root()
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(w, !bare)
			case "fish":
				return root.GenFishCompletion(w, !bare)
			case "zsh":
				if bare {
					return root.GenZshCompletionNoDesc(w)
				}
				return root.GenZshCompletion(w)
			case "powershell":
				if bare {
					return root.GenPowerShellCompletion(w)
				}
				return root.GenPowerShellCompletionWithDesc(w)
			}
			return errUsage{fmt.Errorf("completion: found %q, expected %s", args[0], oneShell)}
		},
	}
	c.Flags().BoolVar(&bare, "no-descriptions", false, "names alone, without what each is")
	return c
}
