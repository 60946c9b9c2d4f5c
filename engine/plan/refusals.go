package plan

import (
	"pegpour/engine/text"
)

// AppendRefusal notes what a formula would not take: what could not be worked
// out, and the field or rule that would help. A nil error leaves the list as it is.
func AppendRefusal(list []Refusal, question Question, severity Severity, what text.Name, err error,
	field string) []Refusal {
	if err == nil {
		return list
	}
	return append(list, Refusal{What: what,
		Words: text.Say("{0} could not be worked out: {1}.", text.Word(what), text.List(text.Because(err))),
		Field: field, Code: question, Severity: severity})
}
