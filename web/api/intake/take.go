package intake

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"runtime"
	"sync"

	"tidemark/load/journal"
)

// File is one file to take in, by the name it has for people.
type File struct {
	Path string
	// Open is called once, from any goroutine.
	Open func() (io.ReadCloser, error)
}

// readAhead is how many files a worker may be ahead of the committer, so that
// none waits while a group is written: about two groups' worth on two cores.
const readAhead = 32

// Take reads files on all cores and keeps in book what they hold, in their
// order. report hears of each recording after the commit that holds it, step of
// each file that is done; both are called from one goroutine. What was reported
// is kept, whatever happens afterwards; of the rest nothing is.
func Take(ctx context.Context, book *journal.Book, files iter.Seq[File], opt Options, report func(Result), step func()) error {
	known, err := KnownTo(ctx, book)
	if err != nil {
		return err
	}
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	workers := runtime.GOMAXPROCS(0)
	queue, ordered := make(chan job), make(chan job, readAhead*workers)
	var working sync.WaitGroup
	working.Go(func() { deal(ctx, files, queue, ordered) })
	for range workers {
		working.Go(func() {
			for next := range queue {
				if err := next.read(ctx, known, opt); err != nil {
					cancel(err)
				}
				close(next.entries)
			}
		})
	}
	err = keep(ctx, book, ordered, report, step)
	cancel(err)
	working.Wait()
	return err
}

// job is one file on its way from a worker to the committer.
type job struct {
	File
	number  int // of the file, from 0
	entries chan Entry
}

// deal hands every file to the committer, who keeps their order, and then to a
// worker.
func deal(ctx context.Context, files iter.Seq[File], queue, ordered chan<- job) {
	defer close(queue)
	defer close(ordered)
	number := 0
	for file := range files {
		next := job{file, number, make(chan Entry, 4)}
		number++
		for _, to := range []chan<- job{ordered, queue} {
			select {
			case to <- next:
			case <-ctx.Done():
				return
			}
		}
	}
}

// ErrFault refuses a file over which the program itself stumbled: bytes from
// elsewhere must not end it.
var ErrFault = errors.New("reading it failed by a fault of this program")

// read sends every recording of the job's file to the committer.
func (j *job) read(ctx context.Context, known Known, opt Options) (err error) {
	send := func(e Entry) error {
		e.File = j.number
		select {
		case j.entries <- e:
			return nil
		case <-ctx.Done():
			return context.Cause(ctx)
		}
	}
	defer func() {
		if v := recover(); v != nil {
			err = send(Entry{Path: j.Path, Err: fmt.Errorf("%w: %v", ErrFault, v)})
		}
	}()
	f, err := j.Open()
	if err != nil {
		return send(Entry{Path: j.Path, Err: Plain(err)})
	}
	defer f.Close()
	for e := range Read(j.Path, f, known, opt) {
		if err := send(e); err != nil {
			return err
		}
	}
	return nil
}

// Plain takes the path out of an error that is told beside it.
func Plain(err error) error {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err
	}
	return err
}

// keep commits what the workers send, in the order of the files.
func keep(ctx context.Context, book *journal.Book, ordered <-chan job, report func(Result), step func()) error {
	group := NewGroup(book, report)
	for next := range ordered {
		for {
			var e Entry
			more := false
			select {
			case e, more = <-next.entries:
			case <-ctx.Done():
				return context.Cause(ctx)
			}
			if !more {
				break
			}
			if err := group.Add(ctx, e); err != nil {
				return fmt.Errorf("keep recordings: %w", err)
			}
		}
		step()
	}
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if err := group.Commit(ctx); err != nil {
		return fmt.Errorf("keep recordings: %w", err)
	}
	return nil
}
