// Package element writes the elements that screens use most: a tag, a class and
// what stands in it, in one call. The program is smaller by them: a chain of the
// framework's calls costs some 100 bytes each time it is written.
package element

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// of is an element of a tag and a class, "" for none.
func of(tag, class string) app.HTMLElem {
	e := app.Elem(tag)
	if class != "" {
		e = e.Class(class)
	}
	return e
}

// Text is an element with a text in it.
func Text(tag, class string, text any) app.UI { return of(tag, class).Text(text) }

// Box is an element with others in it.
func Box(tag, class string, in ...app.UI) app.UI { return of(tag, class).Body(in...) }

// Region is a box with a name for those who hear the screen.
func Region(tag, class, label string, in ...app.UI) app.UI {
	return of(tag, class).Aria("label", label).Body(in...)
}

// Status is a text that is read out by its role when it changes.
func Status(tag, class, role string, text any) app.UI { return of(tag, class).Role(role).Text(text) }

// Known is a text with an identity, and with a role, "" for none.
func Known(tag, id, class, role string, text any) app.UI {
	e := of(tag, class).ID(id)
	if role != "" {
		e = e.Role(role)
	}
	return e.Text(text)
}

// Acting is a box with a role, and a name for those who hear the screen, "" for none.
func Acting(tag, class, role, label string, in ...app.UI) app.UI {
	e := of(tag, class).Role(role)
	if label != "" {
		e = e.Aria("label", label)
	}
	return e.Body(in...)
}

// Label names the field of an identity.
func Label(id string, text any) app.UI { return app.Elem("label").Attr("for", id).Text(text) }

// Link is a text that leads to an address.
func Link(class, address string, text any) app.UI {
	return app.A().Class(class).Href(address).Text(text)
}

// Button is a button with a text; scope is what its handler reads.
func Button(class string, text any, on app.EventHandler, scope ...any) app.UI {
	return app.Button().Type("button").Class(class).Text(text).OnClick(on, scope...)
}

// Doing is a button that says in data-do what it does.
func Doing(class, do string, text any, on app.EventHandler, scope ...any) app.UI {
	return app.Button().Type("button").Class(class).DataSet("do", do).Text(text).OnClick(on, scope...)
}
