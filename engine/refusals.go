package engine

// appendRefusal notes what a formula would not take: what could not be worked
// out, and the field or rule that would settle it. Nothing is noted of no error.
func appendRefusal(list []Refusal, question Question, severity Severity, what string, err error, field string) []Refusal {
	if err == nil {
		return list
	}
	return append(list, Refusal{What: what, Words: say("{0} could not be worked out: {1}.", wordArg(what), listArg(Because(err))),
		Field: field, Code: question, Severity: severity})
}
