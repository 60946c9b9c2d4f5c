package row

// generator is SplitMix64: G. L. Steele, D. Lea, C. H. Flood, Fast splittable pseudorandom
// number generators, OOPSLA 2014, figure 17, with the constants of the authors' Java
// (recalled; the first values are held by a test).
type generator uint64

func (g *generator) next() uint64 {
	*g += 0x9e3779b97f4a7c15
	z := uint64(*g)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// choice is which of so many blocks a picture adds up, a bit for each: block n alone for
// the first pictures, then some at random, at least one.
func choice(number uint32, blocks int) []uint64 {
	c := make([]uint64, (blocks+63)/64)
	if int64(number) < int64(blocks) {
		c[number/64] = 1 << (number % 64)
		return c
	}
	g := generator(number)
	for any := uint64(0); any == 0; {
		for i := range c {
			c[i] = g.next()
		}
		if over := uint(blocks % 64); over > 0 {
			c[len(c)-1] &= 1<<over - 1
		}
		for _, word := range c {
			any |= word
		}
	}
	return c
}

// add adds b to a, bit by bit without carry.
func add(a, b []uint64) {
	b = b[:len(a)]
	for i := range a {
		a[i] ^= b[i]
	}
}
