package web

import (
	"io"
	"net/http"
	"time"

	"tidemark/load/journal"
	"tidemark/web/export"
)

// logbookZip sends everything that is kept of the runner. Where it cannot be finished the
// connection is broken off, so that nobody takes the part that came for the whole.
func (s *Server) logbookZip(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := v.book.Look(r.Context(), journal.LookExport); err != nil {
		return err
	}
	whole, err := v.book.Whole(r.Context(), v.today)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="tidemark-logbook.zip"`)
	out := &sending{w: w, control: http.NewResponseController(w)}
	err = export.Logbook(out, &whole, v.today, func(sum journal.Sum) ([]byte, error) { return v.book.Original(r.Context(), sum) })
	if err == nil || !out.begun {
		return err
	}
	if r.Context().Err() == nil {
		s.Log.Error("send logbook", "error", err)
	}
	panic(http.ErrAbortHandler)
}

// sending is an answer that may take long, as long as something goes.
type sending struct {
	w       io.Writer
	control *http.ResponseController
	begun   bool // so that no error page can be sent any more
}

func (s *sending) Write(b []byte) (int, error) {
	s.begun = true
	_ = s.control.SetWriteDeadline(time.Now().Add(sendTime)) // recorders in tests have none
	return s.w.Write(b)
}
