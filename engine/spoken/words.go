package spoken

// kind is what a word does in a number.
type kind uint8

const (
	digit    kind = iota + 1 // 0 to 9
	teen                     // 10 to 19
	ten                      // 20, 30 … 90
	hundred                  // times
	thousand                 // times
	figure                   // digits as they were written, with a point where there are decimals
	joins                    // and
	article                  // a hundred, half a metre
	point                    // the decimal sign
	minus                    // before all
	plus                     // likewise
	part                     // of one, after a whole number: as it is typed
	half                     // of one, by itself or after "and": as it is typed
	unit                     // as it is typed
	over                     // one in forty
	per                      // millimetres per metre
)

// token is a word, or a part of one, understood.
type token struct {
	kind kind
	n    int
	text string
}

// word is how a token is spoken.
type word struct {
	spoken string
	token
}

// grammar is how a language puts its numbers together.
type grammar struct {
	words    []word
	alone    []word // never parts of other words
	unitLast bool   // five and forty, not forty-five
	parts    byte   // the sign between thousands
}

var english = grammar{parts: ',', words: []word{
	{"zero", token{digit, 0, ""}}, {"nought", token{digit, 0, ""}}, {"naught", token{digit, 0, ""}},
	{"one", token{digit, 1, ""}}, {"two", token{digit, 2, ""}}, {"three", token{digit, 3, ""}},
	{"four", token{digit, 4, ""}},
	{"five", token{digit, 5, ""}}, {"six", token{digit, 6, ""}}, {"seven", token{digit, 7, ""}},
	{"eight", token{digit, 8, ""}}, {"nine", token{digit, 9, ""}},
	{"ten", token{teen, 10, ""}}, {"eleven", token{teen, 11, ""}}, {"twelve", token{teen, 12, ""}},
	{"thirteen", token{teen, 13, ""}}, {"fourteen", token{teen, 14, ""}}, {"fifteen", token{teen, 15, ""}},
	{"sixteen", token{teen, 16, ""}}, {"seventeen", token{teen, 17, ""}}, {"eighteen", token{teen, 18, ""}},
	{"nineteen", token{teen, 19, ""}},
	{"twenty", token{ten, 20, ""}}, {"thirty", token{ten, 30, ""}}, {"forty", token{ten, 40, ""}},
	{"fifty", token{ten, 50, ""}},
	{"sixty", token{ten, 60, ""}}, {"seventy", token{ten, 70, ""}}, {"eighty", token{ten, 80, ""}},
	{"ninety", token{ten, 90, ""}},
	{"hundred", token{hundred, 0, ""}}, {"thousand", token{thousand, 0, ""}},
}, alone: []word{
	{"oh", token{digit, 0, "oh"}}, {"o", token{digit, 0, "oh"}}, {"and", token{joins, 0, ""}},
	{"a", token{article, 0, ""}},
	{"point", token{point, 0, ""}}, {"minus", token{minus, 0, ""}}, {"negative", token{minus, 0, ""}},
	{"plus", token{plus, 0, ""}},
	{"half", token{half, 0, ".5"}}, {"quarter", token{half, 0, ".25"}}, {"to", token{over, 0, ""}},
	{"per", token{per, 0, ""}},
	{"millimetre", token{unit, 0, "mm"}}, {"millimetres", token{unit, 0, "mm"}},
	{"millimeter", token{unit, 0, "mm"}},
	{"millimeters", token{unit, 0, "mm"}}, {"centimetre", token{unit, 0, "cm"}},
	{"centimetres", token{unit, 0, "cm"}},
	{"centimeter", token{unit, 0, "cm"}}, {"centimeters", token{unit, 0, "cm"}}, {"metre", token{unit, 0, "m"}},
	{"metres", token{unit, 0, "m"}}, {"meter", token{unit, 0, "m"}}, {"meters", token{unit, 0, "m"}},
	{"percent", token{unit, 0, "%"}}, {"degree", token{unit, 0, "°"}}, {"degrees", token{unit, 0, "°"}},
	{"foot", token{unit, 0, "'"}}, {"feet", token{unit, 0, "'"}}, {"inch", token{unit, 0, `"`}},
	{"inches", token{unit, 0, `"`}},
}}

var german = grammar{parts: '.', unitLast: true, words: []word{
	{"null", token{digit, 0, ""}}, {"eins", token{digit, 1, ""}}, {"ein", token{digit, 1, ""}},
	{"zwei", token{digit, 2, ""}},
	{"zwo", token{digit, 2, ""}}, {"drei", token{digit, 3, ""}}, {"vier", token{digit, 4, ""}},
	{"fünf", token{digit, 5, ""}},
	{"sechs", token{digit, 6, ""}}, {"sieben", token{digit, 7, ""}}, {"acht", token{digit, 8, ""}},
	{"neun", token{digit, 9, ""}},
	{"zehn", token{teen, 10, ""}}, {"elf", token{teen, 11, ""}}, {"zwölf", token{teen, 12, ""}},
	{"dreizehn", token{teen, 13, ""}}, {"vierzehn", token{teen, 14, ""}}, {"fünfzehn", token{teen, 15, ""}},
	{"sechzehn", token{teen, 16, ""}}, {"siebzehn", token{teen, 17, ""}}, {"achtzehn", token{teen, 18, ""}},
	{"neunzehn", token{teen, 19, ""}},
	{"zwanzig", token{ten, 20, ""}}, {"dreißig", token{ten, 30, ""}}, {"dreissig", token{ten, 30, ""}},
	{"vierzig", token{ten, 40, ""}}, {"fünfzig", token{ten, 50, ""}}, {"sechzig", token{ten, 60, ""}},
	{"siebzig", token{ten, 70, ""}}, {"achtzig", token{ten, 80, ""}}, {"neunzig", token{ten, 90, ""}},
	{"hundert", token{hundred, 0, ""}}, {"tausend", token{thousand, 0, ""}}, {"und", token{joins, 0, ""}},
	{"einhalb", token{part, 0, ".5"}}, {"anderthalb", token{figure, 0, "1.5"}}, {"komma", token{point, 0, ""}},
	{"millimeter", token{unit, 0, "mm"}}, {"zentimeter", token{unit, 0, "cm"}}, {"meter", token{unit, 0, "m"}},
	{"prozent", token{unit, 0, "%"}}, {"grad", token{unit, 0, "°"}}, {"zoll", token{unit, 0, `"`}},
}, alone: []word{
	{"eine", token{digit, 1, ""}}, {"einen", token{digit, 1, ""}}, {"punkt", token{point, 0, ""}},
	{"minus", token{minus, 0, ""}}, {"plus", token{plus, 0, ""}}, {"halb", token{half, 0, ".5"}},
	{"halbe", token{half, 0, ".5"}},
	{"halber", token{half, 0, ".5"}}, {"halben", token{half, 0, ".5"}}, {"halbes", token{half, 0, ".5"}},
	{"zu", token{over, 0, ""}}, {"pro", token{per, 0, ""}}, {"je", token{per, 0, ""}},
	{"metern", token{unit, 0, "m"}},
	{"fuß", token{unit, 0, "'"}}, {"fuss", token{unit, 0, "'"}},
}}

// written are signs and short forms of every language.
var written = []word{
	{"mm", token{unit, 0, "mm"}}, {"cm", token{unit, 0, "cm"}}, {"m", token{unit, 0, "m"}},
	{"ft", token{unit, 0, "'"}},
	{"in", token{over, 0, `"`}}, // inches, where nothing follows
	{"%", token{unit, 0, "%"}}, {"°", token{unit, 0, "°"}}, {"'", token{unit, 0, "'"}}, {"′", token{unit, 0, "'"}},
	{`"`, token{unit, 0, `"`}}, {"″", token{unit, 0, `"`}}, {":", token{over, 0, ""}}, {"/", token{per, 0, ""}},
	{"½", token{part, 0, ".5"}}, {"¼", token{part, 0, ".25"}}, {"¾", token{part, 0, ".75"}},
	{"−", token{minus, 0, ""}}, {"+", token{plus, 0, ""}},
}
