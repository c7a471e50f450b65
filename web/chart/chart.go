// Package chart turns series into pictures that know no page: the load of days
// standing in the water of the held tidemark (Tideline), the course of one run
// (Profile). Positions are fractions of the picture, x from left to right and y
// from the bottom up, so that a page and a printed report draw from the same
// model.
//
// It is pure, and knows no font, colour, pixel or HTML. The paths that it writes
// are SVG path data in a view box of 10000 by 10000 with y from the top down.
package chart

// Span is a part of the width, From before To, both from 0 to 1.
type Span struct{ From, To float64 }

// Step is a level held over a part of the width.
type Step struct{ From, To, Level float64 }

// Point is a place in the picture: both from 0 to 1, Y from the bottom.
type Point struct{ X, Y float64 }

// Rule is a horizontal rule at a round number; Label is the number without its
// unit.
type Rule struct {
	At    float64
	Label string
}

// Tick marks a place on the horizontal axis. Its label begins there and may be
// empty where there is no room for one. A Minor tick has no room for its label in
// a narrow picture.
type Tick struct {
	At    float64
	Label string
	Minor bool
}
