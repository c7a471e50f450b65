package web

import "time"

// SetPatience changes how long the server waits for a form, and for the next of
// an upload.
func (s *Server) SetPatience(form, upload time.Duration) { s.readTime, s.pause = form, upload }
