package row

import (
	"math/bits"

	"pegpour/engine/refusal"
	"pegpour/storage/digest"
)

// Gathering makes one content again from its pictures.
type Gathering struct {
	Content
	// Known is how many pictures came of which none follows from others. Content is
	// complete when there are as many as blocks.
	Known int

	rows []equation // by the first block of the choice; no choice: none yet
}

// equation says what the blocks of a choice add up to.
type equation struct{ choice, sum []uint64 }

// ErrWrongDigest: the pictures do not belong together, though each was whole.
var ErrWrongDigest = error(refusal.Error("what came is not what was shown: its digest does not hold"))

// NewGathering begins with nothing of a content.
func NewGathering(c Content) *Gathering {
	return &Gathering{Content: c, rows: make([]equation, c.Blocks)}
}

// Done reports whether all is there.
func (g *Gathering) Done() bool { return g.Known == g.Blocks }

// Add takes a picture of this content, and reports whether it told anything new.
func (g *Gathering) Add(p Picture) bool {
	if p.Content != g.Content || g.Done() {
		return false
	}
	if int64(p.Number) < int64(g.Blocks) && g.isBlock(int(p.Number)) {
		return false // seen before: the most frequent case needs no arithmetic
	}
	e := equation{choice(p.Number, g.Blocks), words(p.Sum, g.blockBytes())}
	for i := range e.choice {
		for e.choice[i] != 0 {
			at := i*64 + bits.TrailingZeros64(e.choice[i])
			known := g.rows[at]
			if known.choice == nil {
				g.rows[at] = e
				g.Known++
				return true
			}
			add(e.choice[i:], known.choice[i:])
			add(e.sum, known.sum)
		}
	}
	return false
}

// isBlock reports whether a block stands alone already.
func (g *Gathering) isBlock(at int) bool {
	row := g.rows[at].choice
	if row == nil {
		return false
	}
	ones := 0
	for _, word := range row {
		ones += bits.OnesCount64(word)
	}
	return ones == 1
}

// Whole returns the content once it is done. Errors: ErrWrongDigest, after which the
// gathering begins anew.
func (g *Gathering) Whole() ([]byte, error) {
	each := g.blockBytes()
	content := make([]byte, 0, g.Blocks*each)
	for at := g.Blocks - 1; at >= 0; at-- { // what stands behind is solved already
		e := g.rows[at]
		for i, word := range e.choice {
			for word != 0 {
				other := i*64 + bits.TrailingZeros64(word)
				word &= word - 1
				if other != at {
					add(e.sum, g.rows[other].sum)
				}
			}
			e.choice[i] = 0
		}
		e.choice[at/64] = 1 << (at % 64)
	}
	for at := range g.rows {
		content = append(content, octets(g.rows[at].sum)[:each]...)
	}
	content = content[:g.Size]
	if digest.Sum256(content) != g.SHA256 {
		*g = *NewGathering(g.Content)
		return nil, ErrWrongDigest
	}
	return content, nil
}
