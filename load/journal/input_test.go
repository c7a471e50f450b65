package journal

import (
	"fmt"
	"testing"

	"tidemark/load"
)

// The rows of many runners are not all held.
func TestInputsAreBounded(t *testing.T) {
	var c inputs
	for i := range 50 {
		r := Runner{ID: RunnerID(fmt.Sprint(i)), Revision: 1}
		c.put(r, lastInput{revision: 1, Input: load.Input{Sessions: make([]load.Session, 900)}})
		if c.held > mostHeld {
			t.Fatalf("%d sessions are held", c.held)
		}
		if _, ok := c.get(r); !ok {
			t.Errorf("runner %d is not held", i)
		}
	}
	sum := 0
	for _, last := range c.of {
		sum += len(last.Sessions)
	}
	if sum != c.held || sum < mostHeld/2 {
		t.Errorf("%d sessions are held, counted as %d", sum, c.held)
	}
	large := Runner{ID: "large", Revision: 1}
	c.put(large, lastInput{revision: 1, Input: load.Input{Sessions: make([]load.Session, mostHeld+1)}})
	if _, ok := c.get(large); ok {
		t.Error("more than the most is held")
	}
	r := Runner{ID: "49", Revision: 2}
	if _, ok := c.get(r); ok {
		t.Error("rows of another revision are the same")
	}
}
