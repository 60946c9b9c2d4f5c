// Package refusal says why something was refused: one whole English sentence
// that the words catalogue knows, with the values that go into its holes. A
// log writes it in English, a screen in the user's language with that
// language's numbers. It knows no gates and imports nothing of this module.
package refusal

import (
	"errors"
	"math"
	"strconv"
	"strings"
)

// Message is a sentence, or a part of one, with values. Format is English and
// the key of the catalogue; {0}, {1} and so on stand for Args.
type Message struct {
	Format string `json:"format"`
	Args   []Arg  `json:"args,omitempty"`
}

// Arg is one value of a message: a number with its unit, a text of the
// catalogue, what a person typed, a message of its own, or a list of such.
type Arg struct {
	Number  float64  `json:"number,omitempty"`
	Unit    string   `json:"unit,omitempty"` // of Number; empty for pure numbers
	Words   string   `json:"words,omitempty"`
	Typed   string   `json:"typed,omitempty"`
	Message *Message `json:"message,omitempty"`
	List    []Arg    `json:"list,omitempty"`
}

// Say is a message. The format is a literal of the source: the catalogue is
// gathered from it.
func Say(format string, args ...Arg) Message { return Message{Format: format, Args: args} }

// Number is a value with its unit, which may be empty. What is no number is
// said in words, as JSON holds none.
func Number(v float64, unit string) Arg {
	switch {
	case math.IsNaN(v):
		return Name("not a number")
	case math.IsInf(v, 1):
		return Typed("∞")
	case math.IsInf(v, -1):
		return Typed("−∞")
	}
	return Arg{Number: v, Unit: unit}
}

// Count is a whole number.
func Count(n int) Arg { return Arg{Number: float64(n)} }

// Name is a text of the catalogue.
func Name(english string) Arg { return Arg{Words: english} }

// Typed is what a person wrote, or another program said: it stays as it is;
// nothing is a dash.
func Typed(text string) Arg {
	if text == "" {
		text = "–"
	}
	return Arg{Typed: text}
}

// Each lists names given by a person.
func Each(typed ...string) Arg { return listed(typed, Typed) }

// Names lists texts of the catalogue.
func Names(english ...string) Arg { return listed(english, Name) }

func listed(texts []string, as func(string) Arg) Arg {
	list := make([]Arg, len(texts))
	for i, t := range texts {
		list[i] = as(t)
	}
	return Arg{List: list}
}

// Part is a message inside another.
func Part(m Message) Arg { return Arg{Message: &m} }

// Because is the message of an error inside another.
func Because(err error) Arg { return Part(Of(err)) }

// Sayer is an error that says its message.
type Sayer interface {
	error
	Refusal() Message
}

// Of is the message of an error: its own, or that of the first one it wraps
// that has one; else what it says of itself, as it is.
func Of(err error) Message {
	if m, ok := Known(err); ok {
		return m
	}
	return Message{Format: "{0}", Args: []Arg{Typed(err.Error())}}
}

// Known is Of for errors that have a message; false for all others.
func Known(err error) (Message, bool) {
	var s Sayer
	if errors.As(err, &s) {
		return s.Refusal(), true
	}
	return Message{}, false
}

// Error is an error that says always the same: a text of the catalogue.
type Error string

// Error is the text.
func (e Error) Error() string { return string(e) }

// Refusal is the text as a message.
func (e Error) Refusal() Message { return Message{Format: string(e)} }

// Told is a refusal that came from another program.
type Told Message

// Error is the message in English.
func (t Told) Error() string { return Message(t).String() }

// Refusal is the message.
func (t Told) Refusal() Message { return Message(t) }

// String is the message in English, for logs.
func (m Message) String() string {
	return m.In(func(m Message) string { return m.Format }, func(a Arg) string {
		switch {
		case a.Typed != "":
			return a.Typed
		case a.Words != "":
			return a.Words
		}
		return a.Plain()
	})
}

// In writes the message: format gives what stands for a message's format, its
// holes still open, and write a value that holds no other.
func (m Message) In(format func(Message) string, write func(Arg) string) string {
	text := format(m)
	if len(m.Args) == 0 {
		return text
	}
	holes := make([]string, 0, 2*len(m.Args))
	for i, a := range m.Args {
		holes = append(holes, "{"+strconv.Itoa(i)+"}", a.in(format, write))
	}
	return strings.NewReplacer(holes...).Replace(text)
}

func (a Arg) in(format func(Message) string, write func(Arg) string) string {
	switch {
	case a.Message != nil:
		return a.Message.In(format, write)
	case len(a.List) > 0:
		parts := make([]string, len(a.List))
		for i := range a.List {
			parts[i] = a.List[i].in(format, write)
		}
		return strings.Join(parts, ", ")
	}
	return write(a)
}

// Plain is the number with a decimal point and its unit: ten digits, and no
// power of ten.
func (a Arg) Plain() string {
	text := strconv.FormatFloat(a.Number, 'g', 10, 64)
	if strings.IndexByte(text, 'e') >= 0 {
		text = strconv.FormatFloat(a.Number, 'f', -1, 64)
	}
	switch a.Unit {
	case "":
		return text
	case "°":
		return text + a.Unit
	}
	return text + " " + a.Unit
}
