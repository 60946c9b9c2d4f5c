package quoting

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/ui"
	"pegpour/engine/handover"
	"pegpour/engine/quote"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// agreed is what was signed, what changed since, and the field to sign on.
func (s *quoteScreen) agreed() app.UI {
	w := s.w
	st := quote.Stand(&w.Doc.Survey, s.q, s.state)
	var in []app.UI
	if a := st.Signed; a != nil {
		total, _ := quote.ParseAmount(a.Total)
		in = append(in,
			element.Known("p", "quote-signed", "ready", "status", w.SayWith("{0} accepted {1} on {2}.", a.Owner, s.money(total), w.LocalTime(a.On))),
			s.changes(&st, total))
	}
	switch {
	case st.Open != nil:
		in = append(in, s.toSign(&st))
	case st.Signed == nil:
		in = append(in, s.take(nil, "Take this quote to sign"))
	case st.Changed:
		in = append(in, s.take(nil, "Take this variation to sign"))
	}
	if st.Signed == nil && st.Open == nil && len(s.q.Items()) == 0 {
		return app.Text("") // there is no price to agree on
	}
	return element.Region("section", "signing", w.Say("Agreed"), append([]app.UI{element.Text("h2", "", w.Say("Agreed"))}, in...)...)
}

// changes are the lines that are not as they were agreed.
func (s *quoteScreen) changes(st *quote.Standing, total quote.Amount) app.UI {
	w := s.w
	if !st.Changed {
		return app.Text("")
	}
	if len(st.Changes) == 0 {
		return element.Text("p", "bar bar-mind", w.Say("Something changed since it was signed. No line of the price is otherwise."))
	}
	var rows []app.UI
	for i := range st.Changes {
		c := &st.Changes[i]
		rows = append(rows, ui.PairOf(w.SayName(c.Name()), s.money(c.Was.Price)+" → "+s.money(c.Now.Price)))
	}
	return element.Box("div", "", element.Text("p", "bar bar-mind", w.Say("Something changed since it was signed.")),
		element.Box("dl", "pairs", append(rows, ui.PairOf(w.Say("Together"), s.money(total)+" → "+s.money(s.q.Total)),
			ui.PairOf(w.Say("Difference"), s.more(st.Difference())))...))
}

// take makes an agreement of the quote as it stands, in place of one that is not so any
// more.
func (s *quoteScreen) take(stale *quote.Standing, words string) app.UI {
	w := s.w
	if len(w.Doc.Survey.Quote.Agreed) >= survey.MaxAgreements && stale == nil {
		return element.Text("p", "error", w.Say("No more agreements fit into this site."))
	}
	if len(s.q.Items()) == 0 || s.says != "" || len(s.refused) > 0 {
		return app.Text("")
	}
	return element.Doing("wide primary", "take", w.Say(words), func(ctx app.Context, _ app.Event) {
		a := s.q.Agree(w.SayName)
		a.Owner = w.Doc.Survey.Site.Client // it was asked once, and is corrected where it is somebody else
		a.State = s.state(&a)
		d, first := w.Doc, storage.Edit{}
		if stale != nil {
			var err error
			if first, err = storage.RemoveEntry(d, "Quote to sign", survey.QuoteAgreed, stale.OpenAt); err == nil {
				d, err = storage.Apply(d, first)
			}
			if err != nil {
				w.Fail(err)
				return
			}
		}
		e, err := storage.AddEntry(d, "Quote to sign", survey.QuoteAgreed, a)
		w.Commit(ctx, storage.Together("Quote to sign", first, e), err)
	}, words, s.made)
}

// toSign takes the owner's name and signature.
func (s *quoteScreen) toSign(st *quote.Standing) app.UI {
	w, a := s.w, st.Open
	total, _ := quote.ParseAmount(a.Total)
	drop := element.Doing("wide", "drop", w.Say("Leave it unsigned"), func(ctx app.Context, _ app.Event) {
		e, err := storage.RemoveEntry(w.Doc, "Quote to sign", survey.QuoteAgreed, st.OpenAt)
		w.Commit(ctx, e, err)
	}, st.OpenAt)
	if st.Stale {
		return element.Box("div", "list",
			element.Status("p", "bar bar-stop", "alert", w.Say("Something changed since this was taken to sign. Nobody signs what is not so any more.")),
			s.take(st, "Take the quote as it is now"), drop)
	}
	path := string(survey.QuoteAgreedOwner.At(st.OpenAt))
	f, _ := survey.FieldAt(path)
	sign := survey.FieldOf(survey.QuoteAgreedSign.At(st.OpenAt))
	return element.Box("div", "list",
		element.Box("div", "line-entry", element.Label("quote-owner", w.Say("Name of who accepts")),
			s.typed.Field(path, a.Owner, func(ctx app.Context, words string) { w.TypeWords(ctx, f, words) }).
				ID("quote-owner").DataSet("entry", path)),
		s.sign.Show(w.SayName(sign.Name), a.Sign, true),
		app.Button().Type("button").Class("wide primary").DataSet("do", "accept").Disabled(a.Owner == "" || !handover.Signed(a.Sign)).
			Text(w.SayWith("Accept for {0}", s.money(total))).
			OnClick(func(ctx app.Context, _ app.Event) {
				e, err := storage.SetWords(w.Doc, string(survey.QuoteAgreedOn.At(st.OpenAt)), editing.Now())
				w.Commit(ctx, e, err)
			}, st.OpenAt),
		drop)
}

// keepSign keeps what was signed so far.
func (s *quoteScreen) keepSign(ctx app.Context, strokes string) {
	w := s.w
	st := quote.Stand(&w.Doc.Survey, s.q, s.state)
	if st.Open == nil || st.Stale {
		return
	}
	e, err := storage.SetWords(w.Doc, string(survey.QuoteAgreedSign.At(st.OpenAt)), strokes)
	w.Commit(ctx, e, err)
}
