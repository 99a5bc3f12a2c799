package main

import (
	"strings"

	"github.com/spf13/cobra"
)

// Completion for shells: cobra's completion command prints the script; what stands here says what a flag takes.

// completeList completes a flag that takes words split by commas; a word that is there is not offered again.
func completeList(c *cobra.Command, flag string, words []string) {
	complete(c, flag, func(part string) (out []string) {
		before, last := "", part
		if i := strings.LastIndexByte(part, ','); i >= 0 {
			before, last = part[:i+1], part[i+1:]
		}
		for _, w := range words {
			if strings.HasPrefix(w, strings.ToLower(last)) && !strings.Contains(","+strings.ToLower(before), ","+w+",") {
				out = append(out, before+w)
			}
		}
		return out
	}, cobra.ShellCompDirectiveNoSpace)
}

// completeWord completes a flag that takes one of some words.
func completeWord(c *cobra.Command, flag string, words ...string) {
	complete(c, flag, func(string) []string { return words }, cobra.ShellCompDirectiveDefault)
}

func complete(c *cobra.Command, flag string, words func(part string) []string, more cobra.ShellCompDirective) {
	err := c.RegisterFlagCompletionFunc(flag, func(_ *cobra.Command, _ []string, part string) ([]string, cobra.ShellCompDirective) {
		return words(part), cobra.ShellCompDirectiveNoFileComp | more
	})
	if err != nil {
		panic(err) // the flag is not there: a mistake in this program
	}
}

// completeFolder completes flags that take a folder.
func completeFolder(c *cobra.Command, flags ...string) {
	for _, flag := range flags {
		if err := c.MarkFlagDirname(flag); err != nil {
			panic(err) // the flag is not there: a mistake in this program
		}
	}
}

// foldersOnly completes an argument that is a folder.
func foldersOnly(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return nil, cobra.ShellCompDirectiveFilterDirs
}
