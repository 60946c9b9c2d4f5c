package survey

// Quote is what was agreed of the price.
type Quote struct {
	// Agreed are the quote that was accepted and, after it, the variations, in the
	// order in which they were made. The last that is signed holds.
	Agreed []Agreement `json:"agreed,omitempty"`
}

// Agreement is a price as it stood when somebody signed it. It is never changed
// afterwards: what is otherwise later is another one.
type Agreement struct {
	// Owner is the name of who accepted, and Sign the signature as strokes that
	// engine/handover reads. On is when, RFC 3339.
	Owner string `json:"owner,omitempty"`
	Sign  string `json:"sign,omitempty"`
	On    string `json:"on,omitempty"`
	// Total in the shop's currency with two decimals, "1234.50": whole cents.
	Total string `json:"total,omitempty"`
	// Lines that add up to Total, as engine/quote writes them. They are one text, so that
	// two devices never make an agreement of half of each.
	Lines string `json:"lines,omitempty"`
	// State names what it was made of: site, rules, lines and total.
	State string `json:"state,omitempty"`
}

// MaxAgreements is the most entries of Agreed.
const MaxAgreements = 30

func (q Quote) clone() Quote {
	q.Agreed = append([]Agreement(nil), q.Agreed...)
	return q
}
