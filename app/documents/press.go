package documents

import (
	"encoding/json"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/papers/order"
	"pegpour/app/turns"
	"pegpour/engine/refusal"
	"pegpour/storage"
)

// Press is the program that makes documents, in a worker of its own. It is started
// when the first one is ordered and stays for the next.
type Press struct {
	turns   *turns.Turns
	worker  app.Value
	last    int
	waiting map[int]func(pdf app.Value, err error)
}

// NewPress returns the press of a page.
func NewPress(t *turns.Turns) *Press { return &Press{turns: t} }

var errNoPress = error(refusal.Error("this copy of the app has no program for documents"))

// OrderFor is the order of a document of the site in hand: for one reader, as the
// site now stands.
func OrderFor(w *editing.Site, reader string, prices bool) (order.Order, error) {
	document, err := storage.Encode(w.Doc)
	if err != nil {
		return order.Order{}, err
	}
	settings := w.Shop.Settings
	return order.Order{Document: document, Rules: w.Shop.Rules, For: reader, Units: settings.Units,
		Currency: settings.Currency, Firm: settings.Firm, Terms: settings.Terms, Prices: prices, Words: json.RawMessage(w.File())}, nil
}

// Print orders a document; then is called on the goroutine of the screens with its
// bytes, a Uint8Array, or with what went wrong.
func (p *Press) Print(o order.Order, then func(pdf app.Value, err error)) {
	text, err := json.Marshal(o)
	if err == nil {
		err = p.start()
	}
	if err != nil {
		p.turns.Dispatch(func(app.Context) { then(nil, err) })
		return
	}
	p.last++
	p.waiting[p.last] = then
	p.worker.Call("postMessage", map[string]any{"id": p.last, "order": string(text)})
}

func (p *Press) start() error {
	if p.worker != nil {
		return nil
	}
	path := app.Window().Get("document").Get("documentElement").Get("dataset").Get("papers")
	if !path.Truthy() {
		return errNoPress
	}
	p.waiting = map[int]func(app.Value, error){}
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
		p.turns.Dispatch(func(app.Context) { then(pdf, err) })
		return nil
	}))
	p.worker.Set("onerror", app.FuncOf(func(app.Value, []app.Value) any {
		// The program could not be loaded, or has ended: the next order starts
		// it anew.
		waiting := p.waiting
		p.worker, p.waiting = nil, nil
		for _, then := range waiting {
			p.turns.Dispatch(func(app.Context) {
				then(nil, refusal.Error("the program for documents could not be started"))
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
