package survey

import "pegpour/engine/text"

// GroupQuote holds what was agreed of the price. It has a screen of its own and is no
// part of the walk.
const GroupQuote = "Quote"

// The fields of an agreement.
const (
	QuoteAgreed               = "quote.agreed"
	QuoteAgreedOwner ListPath = QuoteAgreed + ".*.owner"
	QuoteAgreedSign  ListPath = QuoteAgreed + ".*.sign"
	QuoteAgreedOn    ListPath = QuoteAgreed + ".*.on"
	QuoteAgreedTotal ListPath = QuoteAgreed + ".*.total"
	QuoteAgreedLines ListPath = QuoteAgreed + ".*.lines"
	QuoteAgreedState ListPath = QuoteAgreed + ".*.state"
)

var agreementList = list{
	path: QuoteAgreed, most: MaxAgreements, group: GroupQuote, askedIf: never,
	count: func(s *Survey) int { return len(s.Quote.Agreed) },
	fields: []Field{
		{column: QuoteAgreedOwner, Name: "Agreement {0}: name of who accepts", Dimension: text.Words,
			entryText: ofAgreement(func(a *Agreement) *string { return &a.Owner })},
		{column: QuoteAgreedSign, Name: "Agreement {0}: signature", Dimension: text.Words,
			entryText: ofAgreement(func(a *Agreement) *string { return &a.Sign })},
		{column: QuoteAgreedOn, Name: "Agreement {0}: signed on", Dimension: text.Words,
			entryText: ofAgreement(func(a *Agreement) *string { return &a.On })},
		{column: QuoteAgreedTotal, Name: "Agreement {0}: total", Dimension: text.Words,
			entryText: ofAgreement(func(a *Agreement) *string { return &a.Total })},
		{column: QuoteAgreedLines, Name: "Agreement {0}: lines", Dimension: text.Words,
			entryText: ofAgreement(func(a *Agreement) *string { return &a.Lines })},
		{column: QuoteAgreedState, Name: "Agreement {0}: what was signed", Dimension: text.Words,
			entryText: ofAgreement(func(a *Agreement) *string { return &a.State })},
	},
}

func ofAgreement(part func(*Agreement) *string) func(*Survey, int) *string {
	return entryOf(func(s *Survey) []Agreement { return s.Quote.Agreed }, part)
}
