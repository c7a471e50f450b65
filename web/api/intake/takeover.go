package intake

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"sync"
	"time"

	"tidemark/ingest"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
)

// ErrWhole refuses a whole logbook where only recordings are taken.
var ErrWhole = errors.New("a whole logbook: hand it in by itself, where it is told whose it becomes")

// ErrNotYours refuses a whole logbook from somebody who may not let others in.
var ErrNotYours = errors.New("a whole logbook is taken over only by whom the logbook belongs to")

// prepared is a logbook of which every original was read and found to be one.
type prepared struct {
	*Logbook
	at      string // the path of the zip
	packed  *spool
	refused map[journal.Sum]error
}

func (p *prepared) close() {
	if p != nil {
		p.packed.close()
	}
}

// prepare reads the originals that are not known, on all cores: each has to be what was
// kept, and readable, or the journal could not derive anything from it any more.
func prepare(ctx context.Context, at string, l *Logbook, known Known, opt Options) (p *prepared, err error) {
	if err := l.Kept.Check(opt.Now); err != nil {
		return nil, fmt.Errorf("read %s: %w", wire.LogbookFile, err)
	}
	home, err := time.LoadLocation(l.Kept.Home)
	if err != nil {
		return nil, err
	}
	opt.Home = home
	p = &prepared{Logbook: l, at: ingest.Printable(at), refused: make(map[journal.Sum]error)}
	if p.packed, err = newSpool(); err != nil {
		return nil, err
	}
	zones := make(map[journal.Sum]map[string]journal.ZoneDecision)
	for _, z := range l.Kept.Zones {
		if zones[z.Sum] == nil {
			zones[z.Sum] = make(map[string]journal.ZoneDecision)
		}
		zones[z.Sum][z.Session] = z
	}
	edits, err := journal.Applied(l.Kept.Edits)
	if err != nil {
		p.close()
		return nil, err
	}
	queue := make(chan *journal.Original)
	var working sync.WaitGroup
	var mu sync.Mutex
	for range runtime.GOMAXPROCS(0) {
		working.Go(func() {
			for o := range queue {
				reason := p.read(o, opt, &Decided{zones[o.Sum], edits})
				if reason != nil {
					mu.Lock()
					p.refused[o.Sum] = reason
					mu.Unlock()
				}
			}
		})
	}
	for i := range l.Kept.Originals {
		if o := &l.Kept.Originals[i]; !known[o.Sum] && ctx.Err() == nil {
			queue <- o
		}
	}
	close(queue)
	working.Wait()
	if err := errors.Join(ctx.Err(), p.packed.err); err != nil {
		p.close()
		return nil, err
	}
	return p, nil
}

// read looks at one original, and lays it down packed.
func (p *prepared) read(o *journal.Original, opt Options, decided *Decided) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = fmt.Errorf("%w: %v", ErrFault, v)
		}
	}()
	data, err := p.original(o)
	if err != nil {
		return err
	}
	format, _, _, err := Decode(ingest.Recording{Path: o.Path, Data: data}, opt, decided)
	if err != nil {
		return err
	}
	o.Format, o.Size = string(format), int64(len(data))
	p.packed.put(o.Sum, journal.Pack(data))
	return nil
}

// keeper puts a logbook into a book, which may be made for it.
type keeper func(k *journal.Kept, packed func(journal.Sum) ([]byte, error)) (*journal.Book, journal.Taken, error)

// into keeps it in a book that is there.
func into(ctx context.Context, book *journal.Book) keeper {
	return func(k *journal.Kept, packed func(journal.Sum) ([]byte, error)) (*journal.Book, journal.Taken, error) {
		taken, err := book.TakeOver(ctx, k, packed)
		return book, taken, err
	}
}

// takeOver keeps a prepared logbook, derives its sessions, and reports each original and
// then all the rest. What does not fit is reported, and no error.
func (p *prepared) takeOver(ctx context.Context, keep keeper, file int, opt Options, report func(Result)) error {
	book, taken, err := keep(p.Kept, p.packed.get)
	switch {
	case errors.Is(err, journal.ErrUnfit):
		report(Result{File: file, Path: p.at, Err: err})
		return nil
	case errors.Is(err, journal.ErrNotFound):
		report(Result{File: file, Path: p.at, Err: ErrNotYours})
		return nil
	case err != nil:
		return err
	}
	if err := derive(ctx, book, opt); err != nil {
		return err
	}
	added := make(map[journal.Sum]bool, len(taken.Originals))
	for _, sum := range taken.Originals {
		added[sum] = true
	}
	for _, o := range p.Kept.Originals {
		r := Result{File: file, Path: p.at + "!" + p.names[o.Sum], Sum: o.Sum, Added: added[o.Sum], Err: p.refused[o.Sum]}
		if r.Err == nil {
			if r.Sessions, err = book.SessionsOf(ctx, o.Sum); err != nil {
				return err
			}
		}
		report(r)
	}
	report(Result{File: file, Path: p.at + "!" + p.name, Sum: p.Sum, Added: taken.Rows > 0, Entries: taken.Rows})
	return nil
}

// derive brings what follows from the originals in line with what was taken over.
func derive(ctx context.Context, book *journal.Book, opt Options) error {
	stale, err := book.Stale(ctx)
	if err != nil || !stale {
		return err
	}
	runner, err := book.Runner(ctx)
	if err != nil {
		return err
	}
	if opt.Home, err = time.LoadLocation(runner.Home); err != nil {
		return err
	}
	return book.Rederive(ctx, Redo(opt))
}

// Settle makes a runner of a whole logbook, in one commit, and reports what became of it as
// Take does. Without a name it is the logbook's own. ok is false if it was refused.
func Settle(ctx context.Context, j *journal.Journal, name string, file File, opt Options, report func(Result)) (runner journal.Runner, ok bool, err error) {
	refuse := func(err error) (journal.Runner, bool, error) {
		report(Result{Path: file.Path, Err: Plain(err)})
		return journal.Runner{}, false, nil
	}
	src, err := file.Open()
	if err != nil {
		return refuse(err)
	}
	defer src.Close()
	f, archive, found := FindLogbook(src, src.Size())
	if !found {
		return refuse(wire.ErrNoLogbook)
	}
	l, err := OpenLogbook(f, archive, opt.Limits)
	if err != nil {
		return refuse(err)
	}
	p, err := prepare(ctx, file.Path, l, nil, opt)
	if err != nil {
		if ctx.Err() != nil {
			return runner, false, err
		}
		return refuse(err)
	}
	defer p.close()
	err = p.takeOver(ctx, func(k *journal.Kept, packed func(journal.Sum) ([]byte, error)) (book *journal.Book, t journal.Taken, err error) {
		if runner, t, err = j.TakeOver(ctx, name, k, packed); err == nil {
			book, err = j.Open(ctx, journal.Local, runner.ID)
		}
		return book, t, err
	}, 0, opt, report)
	return runner, runner.ID != "", err
}

// spool holds packed originals in a file until they are kept, so that neither memory nor the
// one who writes to the journal waits for their packing.
type spool struct {
	mu   sync.Mutex
	file *os.File
	end  int64
	at   map[journal.Sum]span
	err  error // of the first that could not be written
}

type span struct{ from, length int64 }

func newSpool() (*spool, error) {
	f, err := os.CreateTemp("", "tidemark-logbook-*")
	if err != nil {
		return nil, fmt.Errorf("lay originals down: %w", err)
	}
	_ = os.Remove(f.Name()) // where that can be, a kill leaves none behind
	return &spool{file: f, at: make(map[journal.Sum]span)}, nil
}

func (s *spool) put(sum journal.Sum, packed []byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	n, err := s.file.WriteAt(packed, s.end)
	if err != nil && s.err == nil {
		s.err = fmt.Errorf("lay originals down: %w", err)
	}
	s.at[sum] = span{s.end, int64(n)}
	s.end += int64(n)
}

func (s *spool) get(sum journal.Sum) ([]byte, error) {
	at, ok := s.at[sum]
	if !ok {
		return nil, fmt.Errorf("find original %v: %w", sum, journal.ErrNotFound)
	}
	data := make([]byte, at.length)
	_, err := s.file.ReadAt(data, at.from)
	if errors.Is(err, io.EOF) && at.length == 0 {
		err = nil
	}
	return data, err
}

func (s *spool) close() {
	_ = os.Remove(s.file.Name())
	_ = s.file.Close() // it was only a place to lie
}
