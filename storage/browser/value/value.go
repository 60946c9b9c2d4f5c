// Package value waits for promises of the browser and carries bytes to and from
// it.
//
// The store and the line to the yard reach the browser by syscall/js, the screens
// by the values that the framework puts around it. What is done with them is the
// same, so it is written once for both kinds; that it knows neither lets it be
// tested without a browser.
package value

// Value is what both kinds of a value of the browser can do.
type Value[V any] interface {
	Call(method string, arguments ...any) V
	Get(property string) V
	New(arguments ...any) V
	Int() int
}

// Await calls kept with what a promise brings, or refused with the reason for
// which it brings nothing. One of the two is called, once. funcOf is FuncOf of
// the package that the value comes from.
func Await[V Value[V], F interface{ Release() }](promise V, funcOf func(func(V, []V) any) F, kept, refused func(V)) {
	var onKept, onRefused F
	settled := func(then func(V)) func(V, []V) any {
		return func(_ V, arguments []V) any {
			onKept.Release()
			onRefused.Release()
			var what V
			if len(arguments) > 0 {
				what = arguments[0]
			}
			then(what)
			return nil
		}
	}
	onKept, onRefused = funcOf(settled(kept)), funcOf(settled(refused))
	promise.Call("then", onKept, onRefused)
}

// Array copies bytes into a new array of the browser. kind is its Uint8Array and
// copyIn is CopyBytesToJS of the package that the value comes from.
func Array[V Value[V]](kind V, copyIn func(V, []byte) int, data []byte) V {
	array := kind.New(len(data))
	copyIn(array, data)
	return array
}

// Bytes copies the bytes out of an array of the browser. copyOut is CopyBytesToGo
// of the package that the value comes from.
func Bytes[V Value[V]](array V, copyOut func([]byte, V) int) []byte {
	data := make([]byte, array.Get("length").Int())
	copyOut(data, array)
	return data
}
