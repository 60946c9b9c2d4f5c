package shoprules

import (
	"context"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/yardlink"
	"pegpour/engine/practice"
	"pegpour/storage"
)

// aside are rules as they stood here where the yard had something else first.
type aside struct {
	w    *editing.Site
	link *yardlink.Link
	were map[string]*float64 // nil for the default
}

// read reads what of the rules here the yard did not take.
func (a *aside) read() {
	client := a.link.Client()
	a.w.Background(func(c context.Context) error {
		were, err := client.RulesAside(c)
		a.w.Dispatch(func(ctx app.Context) {
			if err == nil {
				a.were = were
				a.w.Refresh(ctx)
			}
		})
		return nil
	})
}

// stands reports whether a rule stood otherwise here.
func (a *aside) stands(key string) bool {
	_, here := a.were[key]
	return here
}

// leave lets go of a rule that the yard did not take.
func (a *aside) leave(key string) {
	client := a.link.Client()
	a.w.Background(func(c context.Context) error { return client.DropRuleAside(c, key) })
	a.read()
}

// offer offers a rule as it stood here.
func (a *aside) offer(r practice.Rule) app.UI {
	w := a.w
	was, here := a.were[r.Key]
	if !here {
		return app.Text("")
	}
	value := r.Default
	if was != nil {
		value = *was
	}
	return element.Box("div", "bar bar-aside",
		element.Text("span", "", w.SayWith("The yard had this first. Here it stood at {0}.", w.RuleSize(r, value))),
		element.Button("", w.Say("Take the one from here"), func(ctx app.Context, _ app.Event) {
			if was == nil {
				w.ClearRule(ctx, r, false)
			} else {
				e, err := storage.SetShopRule(w.Shop, r.Key, value, "")
				w.CommitShop(ctx, e, err)
			}
			a.leave(r.Key)
		}, r.Key, value),
		element.Button("", w.Say("Keep the yard's"), func(app.Context, app.Event) { a.leave(r.Key) }, r.Key))
}

// origin says where the rules come from, and where a site stands behind them.
func origin(w *editing.Site, site bool) []app.UI {
	switch {
	case !site && w.Shop.Yard > 0:
		return []app.UI{element.Text("p", "quiet", w.Say("These are the rules of the yard: what is changed here goes to every device of it, and a site that was begun keeps those it was begun under."))}
	case site && w.Doc.ShopRules != nil && len(w.Shop.Behind(w.Doc)) > 0:
		return []app.UI{element.Box("div", "bar bar-aside",
			element.Text("span", "", w.SayCount(len(w.Shop.Behind(w.Doc)),
				"The shop changed one rule since this site was begun. The site keeps the one it was begun under.",
				"The shop changed {0} rules since this site was begun. The site keeps those it was begun under.")),
			element.Doing("", "take-rules", w.Say("Take the shop's rules of now"), func(ctx app.Context, _ app.Event) {
				e, err := storage.TakeShopRules(w.Doc, w.Shop)
				w.Commit(ctx, e, err)
			}))}
	}
	return nil
}
