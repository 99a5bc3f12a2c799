// Weighhouse checks what the maker of a room air cleaner claims against what a test bench measured, and writes the audit.
package main

import "os"

func main() {
	tuneCollector()
	os.Exit(run(os.Args[1:], os.Stdin, shown(os.Stdout), shown(os.Stderr)))
}
