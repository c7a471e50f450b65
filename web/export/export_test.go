package export

import (
	"time"

	"tidemark/web/export/paper"
)

// VisitSheet is the pages of a visit before they are written.
func VisitSheet(v *Visit, made time.Time) *paper.Document { return visitSheet(v, made).Document }

// TakeHomeSheet is the page of a sheet to take home before it is written.
func TakeHomeSheet(t *TakeHome, made time.Time) *paper.Document {
	return takeHomeSheet(t, made).Document
}
