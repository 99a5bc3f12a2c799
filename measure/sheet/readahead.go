package sheet

import "io"

// ahead reads a stream in a goroutine of its own, so that unpacking and parsing run on two cores.
type ahead struct {
	ch   chan block
	free chan []byte
	quit chan struct{}
	done chan struct{}
	now  block
	rest []byte
	n    int64 // bytes handed on
}

type block struct {
	data []byte
	err  error
}

func readAhead(r io.Reader) *ahead {
	a := &ahead{ch: make(chan block, 2), free: make(chan []byte, 4), quit: make(chan struct{}), done: make(chan struct{})}
	go func() {
		defer close(a.done)
		for {
			var buf []byte
			select {
			case buf = <-a.free:
			default:
				buf = make([]byte, 128<<10)
			}
			n, err := readFull(r, buf[:cap(buf)])
			select {
			case a.ch <- block{buf[:n], err}:
			case <-a.quit:
				return
			}
			if err != nil {
				return
			}
		}
	}()
	return a
}

func (a *ahead) Read(b []byte) (int, error) {
	for len(a.rest) == 0 {
		if a.now.err != nil {
			return 0, a.now.err
		}
		if a.now.data != nil {
			select {
			case a.free <- a.now.data:
			default:
			}
		}
		a.now = <-a.ch
		a.rest = a.now.data
	}
	n := copy(b, a.rest)
	a.rest = a.rest[n:]
	a.n += int64(n)
	return n, nil
}

// close ends the goroutine and waits for it, so that the stream under it can be closed.
func (a *ahead) close() {
	close(a.quit)
	<-a.done
}
