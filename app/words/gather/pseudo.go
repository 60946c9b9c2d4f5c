package gather

import (
	"bytes"
	"encoding/json"
	"strings"

	"pegpour/engine/words"
)

// PseudoCode is the language for tests; no person speaks it.
const PseudoCode = "qps"

var accents = strings.NewReplacer("a", "á", "e", "ë", "i", "î", "o", "ö", "u", "ü", "A", "Å", "E", "É", "I", "Î", "O",
	"Ø", "U", "Û", "c", "ç", "n", "ñ", "s", "š", "y", "ý")

// longer is a third of a text's length, broken as words are.
func longer(length int) string {
	more := strings.Repeat("~~~~ ", length/15) + strings.Repeat("~", (length%15+2)/3)
	return strings.TrimSpace(more)
}

// Pseudo makes a language of the texts that were found: every one a third
// longer, with accents on it, between marks, right to left and with a decimal
// comma. What shows up without marks did not come from the catalogue.
func Pseudo(r *Report) []byte {
	texts := map[string]string{}
	for _, k := range r.Keys {
		texts[k.Text] = "⟦" + accents.Replace(words.Bare(k.Text)) + longer(len(k.Text)) + "⟧"
	}
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", " ")
	_ = encoder.Encode(map[string]any{"language": PseudoCode, "name": "⟦Pšëüdö⟧", "direction": "rtl", "decimal": ",",
		"date": "DD.MM.YYYY", "texts": texts})
	return out.Bytes()
}
