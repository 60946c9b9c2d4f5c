package value

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// thing stands for a value of the browser.
type thing struct {
	bytes     []byte
	number    int
	word      string
	listeners *[]any
}

func (v *thing) Call(method string, arguments ...any) *thing {
	if method == "then" {
		*v.listeners = arguments
	}
	return nil
}

func (v *thing) Get(property string) *thing {
	if property == "length" {
		return &thing{number: len(v.bytes)}
	}
	return nil
}

func (v *thing) New(arguments ...any) *thing { return &thing{bytes: make([]byte, arguments[0].(int))} }
func (v *thing) Int() int                    { return v.number }

// callback stands for a function that the browser holds until it is released.
type callback struct {
	run      func(*thing, []*thing) any
	released int
}

func (c *callback) Release() { c.released++ }

func callbackOf(run func(*thing, []*thing) any) *callback { return &callback{run: run} }

func awaited(t *testing.T) (kept, refused *callback, heard *[]string) {
	t.Helper()
	var listeners []any
	heard = &[]string{}
	said := func(what string) func(*thing) {
		return func(v *thing) {
			if v != nil {
				what += " " + v.word
			}
			*heard = append(*heard, what)
		}
	}
	Await(&thing{listeners: &listeners}, callbackOf, said("kept"), said("refused"))
	assert.Len(t, listeners, 2)
	return listeners[0].(*callback), listeners[1].(*callback), heard
}

func TestAPromiseIsHeardOnceAndItsListenersAreReleased(t *testing.T) {
	kept, refused, heard := awaited(t)
	assert.Zero(t, kept.released+refused.released, "both are held while it is open")
	kept.run(nil, []*thing{{word: "file"}})
	assert.Equal(t, []string{"kept file"}, *heard)
	assert.Equal(t, []int{1, 1}, []int{kept.released, refused.released})
}

func TestARefusedPromiseSaysWhy(t *testing.T) {
	kept, refused, heard := awaited(t)
	refused.run(nil, []*thing{{word: "no room"}})
	assert.Equal(t, []string{"refused no room"}, *heard)
	assert.Equal(t, []int{1, 1}, []int{kept.released, refused.released})
}

// A promise of nothing, as a share has it, calls without an argument.
func TestAPromiseMayBringNothing(t *testing.T) {
	kept, _, heard := awaited(t)
	kept.run(nil, nil)
	assert.Equal(t, []string{"kept"}, *heard)
}

func TestBytesGoThereAndComeBack(t *testing.T) {
	in := func(to *thing, from []byte) int { return copy(to.bytes, from) }
	out := func(to []byte, from *thing) int { return copy(to, from.bytes) }
	for _, data := range [][]byte{{}, {0}, []byte("a page of bytes\x00\xff")} {
		array := Array(&thing{}, in, data)
		assert.Equal(t, data, array.bytes)
		back := Bytes(array, out)
		assert.Equal(t, data, back)
		if len(back) > 0 {
			back[0]++
			assert.NotEqual(t, data, back, "a copy")
		}
	}
}
