package paper

// Empty is how many glyphs of a block are the one that stands for none.
func (b *Block) Empty() (n int) {
	for _, l := range b.lines {
		for _, r := range l.runs {
			for _, g := range r.Glyphs {
				if g.GlyphID == 0 {
					n++
				}
			}
		}
	}
	return n
}

// Glyphs is how many there are in all.
func (b *Block) Glyphs() (n int) {
	for _, l := range b.lines {
		for _, r := range l.runs {
			n += len(r.Glyphs)
		}
	}
	return n
}
