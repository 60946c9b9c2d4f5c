package app

import (
	"encoding/json"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/papers/order"
	"pegpour/engine/refusal"
	"pegpour/storage"
)

// press is the program that makes documents, in a worker of its own. It is
// started when the first one is ordered and stays for the next.
type printing struct {
	worker  app.Value
	last    int
	waiting map[int]func(ctx app.Context, pdf app.Value, err error)
}

// thePress is the one of this page.
var thePress printing

var errNoPress = error(refusal.Error("this copy of the app has no program for documents"))

// orderFor is the order of a document of the site in hand: for one reader, as
// the site now stands.
func (w *workspace) orderFor(reader string, prices bool) (order.Order, error) {
	document, err := storage.Encode(w.doc)
	if err != nil {
		return order.Order{}, err
	}
	return order.Order{Document: document, Rules: w.shop.Rules, For: reader, Units: w.shop.Settings.Units, Currency: w.shop.Settings.Currency,
		Prices: prices, Colour: false, Words: json.RawMessage(languageFile)}, nil
}

// print orders a document; then is called on the UI goroutine with its bytes,
// a Uint8Array, or with what went wrong.
func (w *workspace) print(o order.Order, then func(ctx app.Context, pdf app.Value, err error)) {
	text, err := json.Marshal(o)
	if err == nil {
		err = thePress.start(w)
	}
	if err != nil {
		w.dispatch(func(ctx app.Context) { then(ctx, nil, err) })
		return
	}
	thePress.last++
	thePress.waiting[thePress.last] = then
	thePress.worker.Call("postMessage", map[string]any{"id": thePress.last, "order": string(text)})
}

func (p *printing) start(w *workspace) error {
	if p.worker != nil {
		return nil
	}
	path := app.Window().Get("document").Get("documentElement").Get("dataset").Get("papers")
	if !path.Truthy() {
		return errNoPress
	}
	p.waiting = map[int]func(app.Context, app.Value, error){}
	p.worker = app.Window().Get("Worker").New(path.String())
	// Both stay as long as the worker does.
	p.worker.Set("onmessage", app.FuncOf(func(_ app.Value, arguments []app.Value) any {
		data := arguments[0].Get("data")
		id := data.Get("id").Int()
		then := p.waiting[id]
		delete(p.waiting, id)
		if then == nil {
			return nil
		}
		var err error
		if fault := data.Get("error"); fault.Truthy() {
			err = toldBy(fault.String())
		}
		pdf := data.Get("pdf")
		w.dispatch(func(ctx app.Context) { then(ctx, pdf, err) })
		return nil
	}))
	p.worker.Set("onerror", app.FuncOf(func(app.Value, []app.Value) any {
		// The program could not be loaded, or has ended: the next order starts
		// it anew.
		waiting := p.waiting
		p.worker, p.waiting = nil, nil
		for _, then := range waiting {
			w.dispatch(func(ctx app.Context) {
				then(ctx, nil, refusal.Error("the program for documents could not be started"))
			})
		}
		return nil
	}))
	return nil
}

// toldBy is the refusal that the program for documents answered with.
func toldBy(answer string) error {
	var why refusal.Message
	if json.Unmarshal([]byte(answer), &why) != nil {
		why = refusal.Say("{0}", refusal.Typed(answer))
	}
	return refusal.Told(why)
}

// paper is a file to hand out, as the browser holds it.
type paper struct {
	name string
	file app.Value // a File
}

// paperOf makes a file of text or of a Uint8Array.
func paperOf(name, media string, content any) paper {
	return paper{name, app.Window().Get("File").New(arrayOf(content), name, map[string]any{"type": media})}
}

// arrayOf makes an array of JavaScript, of text and of its values alike.
func arrayOf(values ...any) app.Value {
	array := app.Window().Get("Array").New()
	for _, v := range values {
		array.Call("push", v)
	}
	return array
}

// save lets the browser save it.
func (p paper) save() {
	window := app.Window()
	address := window.Get("URL").Call("createObjectURL", p.file)
	link := window.Get("document").Call("createElement", "a")
	link.Set("href", address)
	link.Set("download", p.name)
	link.Call("click")
	window.Get("URL").Call("revokeObjectURL", address)
}

// canShare reports whether this browser hands such files to another app.
func canShare(papers []paper) bool {
	navigator := app.Window().Get("navigator")
	if len(papers) == 0 || !navigator.Get("share").Truthy() || !navigator.Get("canShare").Truthy() {
		return false
	}
	return navigator.Call("canShare", map[string]any{"files": filesOf(papers)}).Bool()
}

func filesOf(papers []paper) app.Value {
	files := arrayOf()
	for i := range papers {
		files.Call("push", papers[i].file)
	}
	return files
}

// handOut offers files to the phone's share sheet, and saves those that it
// does not take. later is called when the browser wants another tap first.
func (w *workspace) handOut(title string, papers []paper, later func(app.Context)) {
	var taken, left []paper
	if canShare(papers) {
		taken = papers
	} else {
		for _, p := range papers {
			if canShare([]paper{p}) {
				taken = append(taken, p)
			} else {
				left = append(left, p)
			}
		}
		// One by one is no use to anyone who wants the lot in one message.
		if !canShare(taken) {
			taken, left = nil, papers
		}
	}
	for _, p := range left {
		p.save()
	}
	if len(taken) == 0 {
		return
	}
	promise := app.Window().Get("navigator").Call("share", map[string]any{"files": filesOf(taken), "title": title})
	var done, failed app.Func
	release := func() { done.Release(); failed.Release() }
	done = app.FuncOf(func(app.Value, []app.Value) any {
		release()
		return nil
	})
	failed = app.FuncOf(func(_ app.Value, arguments []app.Value) any {
		defer release()
		name := ""
		if len(arguments) > 0 && arguments[0].Truthy() {
			name = arguments[0].Get("name").String()
		}
		switch name {
		case "AbortError": // the person thought better of it
		case "NotAllowedError":
			w.dispatch(later)
		default:
			for _, p := range taken {
				p.save()
			}
		}
		return nil
	})
	promise.Call("then", done, failed)
}
