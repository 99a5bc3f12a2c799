package listing

import (
	"regexp"
	"sync"
)

// lazily gives an expression that is compiled when it is first used: the commands that read no listing need none of them.
func lazily(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}
