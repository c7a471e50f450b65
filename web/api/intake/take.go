package intake

import (
	"archive/zip"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"runtime"
	"sync"
	"sync/atomic"

	"tidemark/ingest"
	"tidemark/load/journal"
)

// Source is the bytes of a file, which can be read anywhere and at the same time.
type Source interface {
	io.ReaderAt
	io.Closer
	Size() int64
}

// File is one file to take in, by the name it has for people.
type File struct {
	Path string
	// Open is called once, from any goroutine.
	Open func() (Source, error)
}

// Step is how far Take is: so many pieces more are known, so many are done. A file
// is a piece, and each further member of an archive.
type Step struct{ More, Done int }

// readAhead is how many members of files a worker may be ahead of the committer, so
// that none waits while a group is written: about two groups' worth on two cores.
const readAhead = 32

// Take reads files on all cores, the members of an archive too, and keeps in book
// what they hold, in their order. report hears of each recording after the commit
// that holds it, step of the pieces; both are called from one goroutine. What was
// reported is kept, whatever happens afterwards; of the rest nothing is.
func Take(ctx context.Context, book *journal.Book, files iter.Seq[File], opt Options, report func(Result), step func(Step)) error {
	known, err := KnownTo(ctx, book)
	if err != nil {
		return err
	}
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	workers := runtime.GOMAXPROCS(0)
	queue, ordered := make(chan job), make(chan job, readAhead*workers)
	d := dealer{ctx: ctx, opt: opt, queue: queue, ordered: ordered}
	var working sync.WaitGroup
	working.Go(func() { d.deal(files) })
	for range workers {
		working.Go(func() {
			for next := range queue {
				if err := next.read(ctx, known, opt); err != nil {
					cancel(err)
				}
				next.done()
			}
		})
	}
	err = keep(ctx, book, ordered, opt, report, step)
	cancel(err)
	working.Wait()
	return err
}

// job is one member of a file on its way from a worker to the committer.
type job struct {
	member  ingest.Member
	file    int // number of the file, from 0
	more    int // pieces that became known with it
	entries chan Entry
	source  *shared
	whole   *found // instead of a member
}

// found is a zip that is a whole logbook.
type found struct {
	json    *zip.File
	archive *zip.Reader
}

func (j *job) done() {
	close(j.entries)
	j.source.release()
}

// shared is a source that is closed when the last of its users is done.
type shared struct {
	Source
	users atomic.Int64
}

func (s *shared) release() {
	if s != nil && s.users.Add(-1) == 0 {
		_ = s.Close() // it was only read
	}
}

// dealer parts files in members, and hands each to the committer, who keeps their
// order, and then to a worker.
type dealer struct {
	ctx            context.Context
	opt            Options
	queue, ordered chan<- job
}

func (d *dealer) deal(files iter.Seq[File]) {
	defer close(d.queue)
	defer close(d.ordered)
	number := 0
	for file := range files {
		if !d.open(file, number) {
			return
		}
		number++
	}
}

// open deals the members of a file; false: the work is over.
func (d *dealer) open(file File, number int) (more bool) {
	defer func() {
		if v := recover(); v != nil {
			more = d.refuse(file.Path, number, fmt.Errorf("%w: %v", ErrFault, v))
		}
	}()
	src, err := file.Open()
	if err != nil {
		return d.refuse(file.Path, number, Plain(err))
	}
	source := &shared{Source: src}
	source.users.Store(1)
	defer source.release()
	if f, archive, ok := FindLogbook(src, src.Size()); ok {
		return d.whole(file.Path, number, source, found{f, archive})
	}
	n, members := ingest.Members(file.Path, src, src.Size(), d.opt.Limits)
	known := n - 1
	for m := range members {
		source.users.Add(1)
		if !d.send(job{member: m, file: number, more: known, entries: make(chan Entry, 4), source: source}) {
			source.release()
			return false
		}
		known = 0
	}
	return true
}

// whole deals a logbook as one piece.
func (d *dealer) whole(path string, number int, source *shared, f found) bool {
	if !d.opt.Whole {
		return d.refuse(path, number, ErrWhole)
	}
	source.users.Add(1)
	next := job{member: ingest.Member{Path: path}, file: number, entries: make(chan Entry, 1), source: source, whole: &f}
	if !d.send(next) {
		source.release()
		return false
	}
	return true
}

// refuse deals a file that cannot be opened.
func (d *dealer) refuse(path string, number int, err error) bool {
	next := job{file: number, entries: make(chan Entry, 1)}
	next.entries <- Entry{File: number, Path: path, Err: err}
	close(next.entries)
	select {
	case d.ordered <- next:
		return true
	case <-d.ctx.Done():
		return false
	}
}

func (d *dealer) send(next job) bool {
	for _, to := range []chan<- job{d.ordered, d.queue} {
		select {
		case to <- next:
		case <-d.ctx.Done():
			return false
		}
	}
	return true
}

// ErrFault refuses a file over which the program itself stumbled: bytes from
// elsewhere must not end it.
var ErrFault = errors.New("reading it failed by a fault of this program")

// read sends every recording of the job's member to the committer.
func (j *job) read(ctx context.Context, known Known, opt Options) (err error) {
	send := func(e Entry) error {
		e.File = j.file
		select {
		case j.entries <- e:
			return nil
		case <-ctx.Done():
			e.whole.close()
			return context.Cause(ctx)
		}
	}
	defer func() {
		if v := recover(); v != nil {
			err = send(Entry{Path: j.member.Path, Err: fmt.Errorf("%w: %v", ErrFault, v)})
		}
	}()
	if j.whole != nil {
		return send(j.readWhole(ctx, known, opt))
	}
	for e := range Read(j.member, known, opt) {
		if err := send(e); err != nil {
			return err
		}
	}
	return nil
}

func (j *job) readWhole(ctx context.Context, known Known, opt Options) Entry {
	e := Entry{Path: j.member.Path}
	l, err := OpenLogbook(j.whole.json, j.whole.archive, opt.Limits)
	if err == nil {
		e.whole, err = prepare(ctx, e.Path, l, known, opt)
	}
	e.Err = err
	return e
}

// Plain takes the path out of an error that is told beside it.
func Plain(err error) error {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err
	}
	return err
}

// keep commits what the workers send, in the order of the files.
func keep(ctx context.Context, book *journal.Book, ordered <-chan job, opt Options, report func(Result), step func(Step)) error {
	group := NewGroup(book, report)
	for next := range ordered {
		if next.more > 0 {
			step(Step{More: next.more})
		}
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
			if err := keepEntry(ctx, book, group, e, opt, report); err != nil {
				return fmt.Errorf("keep recordings: %w", err)
			}
		}
		step(Step{Done: 1})
	}
	if ctx.Err() != nil {
		return context.Cause(ctx)
	}
	if err := group.Commit(ctx); err != nil {
		return fmt.Errorf("keep recordings: %w", err)
	}
	return nil
}

// keepEntry keeps a recording with others, and a whole logbook after what came before it.
func keepEntry(ctx context.Context, book *journal.Book, group *Group, e Entry, opt Options, report func(Result)) error {
	if e.whole == nil {
		return group.Add(ctx, e)
	}
	defer e.whole.close()
	if err := group.Commit(ctx); err != nil {
		return err
	}
	return e.whole.takeOver(ctx, into(ctx, book), e.File, opt, report)
}
