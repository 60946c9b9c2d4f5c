package delta

// foresight foresees how a byte changes: as it did where the same bytes stood around it,
// else where fewer of them did.
type foresight struct {
	near, wide, far       []int16 // change by the bytes around, -1 where none was seen
	atNear, atWide, atFar uint32
}

func newForesight() *foresight {
	unseen := func(n int) []int16 {
		seen := make([]int16, n)
		for i := range seen {
			seen[i] = -1
		}
		return seen
	}
	return &foresight{near: unseen(1 << 22), wide: unseen(1 << 21), far: unseen(1 << 16)}
}

// of returns the change that is foreseen for the byte at a place of a program; tell then
// has to say what it was. Outside the program bytes are 0. In code of WebAssembly the byte
// before is what is done with a number, and those after are the higher parts of it.
func (f *foresight) of(program []byte, place int) byte {
	var before, after, last uint32
	if place > 0 {
		before = uint32(program[place-1])
	}
	if place+2 < len(program) {
		after, last = uint32(program[place+1]), uint32(program[place+2])
	} else if place+1 < len(program) {
		after = uint32(program[place+1])
	}
	f.atNear = (before | uint32(program[place])<<8 | after<<16 | last<<24) * 0x9E3779B1 >> 10
	f.atWide = before | after>>3<<8 | last<<13
	f.atFar = before | last<<8
	seen := f.near[f.atNear]
	if seen < 0 {
		seen = f.wide[f.atWide]
	}
	if seen < 0 {
		seen = max(f.far[f.atFar], 0)
	}
	return byte(seen)
}

func (f *foresight) tell(change byte) {
	f.near[f.atNear], f.wide[f.atWide], f.far[f.atFar] = int16(change), int16(change), int16(change)
}
