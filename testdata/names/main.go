// Command names lists every proper name in testdata and in the outputs of the demo, so that each release can be looked
// through for one that is somebody's: go run ./testdata/names, from the module root. How names are chosen stands in
// DEVELOPERS.md.
package main

import (
	"fmt"
	"os"
)

func main() {
	list, err := Names(".")
	if err != nil {
		fmt.Fprintln(os.Stderr, "names:", err)
		os.Exit(1)
	}
	fmt.Print(list)
}
