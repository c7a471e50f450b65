package ingest

import (
	"errors"

	"tidemark/load"
)

// The reasons for which a file, a member of an archive or an activity is
// refused. More is said in the text of the error that wraps one.
var (
	ErrEmpty         = errors.New("empty file; export or copy it again")
	ErrUnknownFormat = errors.New("not a recording")
	ErrTooLarge      = errors.New("too large")
	ErrNoActivity    = errors.New("no activity in it")

	ErrNoTime   = errors.New("no usable time, so nothing says when this was")
	ErrFuture   = errors.New("starts in the future")
	ErrTooLong  = errors.New("not one recording")
	ErrTooShort = errors.New("too short")
	ErrOffGlobe = errors.New("every position is off the globe")

	ErrArchive   = errors.New("archive cannot be read")
	ErrNested    = errors.New("archive inside an archive")
	ErrMembers   = errors.New("too many files in one archive")
	ErrEncrypted = errors.New("encrypted")
	ErrCut       = errors.New("cut short")
	// ErrAside is the reason for members that systems put into archives on
	// their own account. They are no loss.
	ErrAside = errors.New("added by a system, left out")
)

// at adds the format to a reason that does not name its place already.
func at(format Format, err error) error {
	if _, ok := errors.AsType[*load.DecodeError](err); ok || errors.Is(err, ErrUnknownFormat) {
		return err
	}
	return &load.DecodeError{Format: string(format), Offset: -1, Err: err}
}
