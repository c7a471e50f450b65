package rehab

import (
	"errors"
	"fmt"

	"tidemark/load"
)

// Result is one result of a test: of each side, or a total.
type Result struct {
	Test               string
	Day                load.Day
	Left, Right, Total *float64
	Note               string
}

// Check reports why the result cannot be.
func (r *Result) Check(today load.Day) error {
	o, err := FindOutcome(r.Test)
	if err != nil {
		return err
	}
	if r.Day > today {
		return fmt.Errorf("%s on %v: it has not come yet", o.Name, r.Day)
	}
	if o.Sides == (r.Total != nil) || r.Left == nil && r.Right == nil && r.Total == nil {
		if o.Sides {
			return errors.New(o.Name + ": want the left side, the right or both")
		}
		return errors.New(o.Name + ": want the total")
	}
	for _, v := range []*float64{r.Left, r.Right, r.Total} {
		if v != nil {
			if err := o.Check(*v); err != nil {
				return err
			}
		}
	}
	return nil
}
