package storage

import (
	"encoding/json"
	"errors"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/storage/canonical"
)

// DecodeError says why bytes are not a document that can be used. The bytes
// are untouched.
type DecodeError struct {
	// Path is where it went wrong, in dots, e.g. "survey.opening.width.size";
	// empty when the text as a whole cannot be read.
	Path   string
	Reason refusal.Message
	Cause  error
}

// Error gives the place and the reason.
func (e *DecodeError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *DecodeError) Refusal() refusal.Message {
	if e.Path == "" {
		return refusal.Say("not a usable document: {0}", refusal.Part(e.Reason))
	}
	return refusal.Say("not a usable document: {0}: {1}", refusal.Typed(e.Path), refusal.Part(e.Reason))
}

// Unwrap returns the cause, often a *canonical.SyntaxError.
func (e *DecodeError) Unwrap() error { return e.Cause }

// NewerError says that a newer program wrote the document. Bytes is all of it,
// to be kept as it is.
type NewerError struct {
	Version, Known int // the document's, and the newest that this program knows
	Bytes          []byte
}

// Error says what to do about it.
func (e *NewerError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *NewerError) Refusal() refusal.Message {
	return refusal.Say("written by a newer version (document version {0}, this program knows {1}): update to open it",
		refusal.Count(e.Version), refusal.Count(e.Known))
}

// Encode writes the document in canonical form (RFC 8785). Equal documents
// give equal bytes.
func Encode(d *Document) ([]byte, error) {
	tree, err := d.checkedTree()
	if err != nil {
		return nil, err
	}
	return canonical.Marshal(tree)
}

// Decode reads a document, of this version or an older one. Errors are a
// *DecodeError or a *NewerError.
func Decode(text []byte) (*Document, error) {
	tree, err := decodeTree(text, Format)
	if err != nil {
		return nil, err
	}
	return documentOf(tree)
}

// EncodeShop is Encode for the shop's document.
func EncodeShop(s *Shop) ([]byte, error) {
	tree, err := s.checkedTree()
	if err != nil {
		return nil, err
	}
	return canonical.Marshal(tree)
}

// DecodeShop is Decode for the shop's document.
func DecodeShop(text []byte) (*Shop, error) {
	tree, err := decodeTree(text, ShopFormat)
	if err != nil {
		return nil, err
	}
	return shopOf(tree)
}

func decodeTree(text []byte, format string) (map[string]any, error) {
	v, err := canonical.Parse(text, canonical.Limits{Bytes: MaxDocumentBytes, Depth: MaxDocumentDepth})
	if err != nil {
		return nil, &DecodeError{Reason: refusal.Of(err), Cause: err}
	}
	tree, ok := v.(map[string]any)
	if !ok {
		return nil, &DecodeError{Reason: refusal.Say("not an object")}
	}
	if tree["format"] != format {
		return nil, &DecodeError{Path: "format", Reason: refusal.Say("is not {0}", refusal.Typed(format))}
	}
	number := versionOf(tree)
	if number < 1 {
		return nil, &DecodeError{Path: "version", Reason: refusal.Say("is not a version number")}
	}
	if number > newest(format) {
		return nil, &NewerError{Version: number, Known: newest(format), Bytes: append([]byte(nil), text...)}
	}
	return migrate(tree, format, number)
}

// treeOf turns typed contents and the unknown rest into one tree in normal
// form: nothing empty that the types leave out, every list entry identified.
func treeOf(typed any, rest map[string]any, s *shape) (map[string]any, error) {
	text, err := json.Marshal(typed)
	if err != nil {
		return nil, &DecodeError{Reason: refusal.Of(err), Cause: err}
	}
	v, err := canonical.Parse(text, canonical.Limits{})
	if err != nil {
		return nil, &DecodeError{Reason: refusal.Of(err), Cause: err}
	}
	s.prune(v)
	if rest != nil {
		v = join(v, copyTree(rest))
	}
	s.identify(v)
	return v.(map[string]any), nil
}

// readTree fills typed from a tree and returns the rest.
func readTree(tree map[string]any, typed any, s *shape) (map[string]any, error) {
	s.identify(tree)
	known, rest := s.split(tree)
	text, err := canonical.Marshal(known)
	if err != nil {
		return nil, &DecodeError{Reason: refusal.Of(err), Cause: err}
	}
	if err := json.Unmarshal(text, typed); err != nil {
		e := &DecodeError{Reason: refusal.Of(err), Cause: err}
		var wrong *json.UnmarshalTypeError
		if errors.As(err, &wrong) {
			e.Path, e.Reason = wrong.Field,
				refusal.Say("holds what does not belong there ({0})", refusal.Name(jsonKind(wrong.Value)))
		}
		return nil, e
	}
	kept, _ := rest.(map[string]any)
	return kept, nil
}

// jsonKind says in words what kind of value the decoder met.
func jsonKind(value string) string {
	switch kind, _, _ := strings.Cut(value, " "); kind {
	case "string":
		return "a text"
	case "number":
		return "a number"
	case "bool":
		return "a yes or no"
	case "array":
		return "a list"
	}
	return "a group of values"
}

func (d *Document) checkedTree() (map[string]any, error) {
	c := *d
	c.Format, c.Version = Format, newest(Format)
	return treeOf(&c, d.extra, documentShape)
}

// tree is checkedTree for documents that came through Decode or Apply; one
// built by hand from values that JSON cannot hold gives an empty tree.
func (d *Document) tree() map[string]any {
	tree, err := d.checkedTree()
	if err != nil {
		return map[string]any{}
	}
	return tree
}

func documentOf(tree map[string]any) (*Document, error) {
	d := &Document{}
	rest, err := readTree(tree, d, documentShape)
	if err != nil {
		return nil, err
	}
	if d.ID == "" {
		return nil, &DecodeError{Path: "id", Reason: refusal.Say("is missing")}
	}
	d.extra = rest
	return d, nil
}

func (s *Shop) checkedTree() (map[string]any, error) {
	c := *s
	c.Format, c.Version = ShopFormat, newest(ShopFormat)
	return treeOf(&c, s.extra, shopShape)
}

func shopOf(tree map[string]any) (*Shop, error) {
	s := &Shop{}
	rest, err := readTree(tree, s, shopShape)
	if err != nil {
		return nil, err
	}
	s.extra = rest
	return s, nil
}

func copyTree[T any](v T) T {
	switch v := any(v).(type) {
	case map[string]any:
		c := make(map[string]any, len(v))
		for name, inner := range v {
			c[name] = copyTree(inner)
		}
		return any(c).(T)
	case []any:
		c := make([]any, len(v))
		for i := range v {
			c[i] = copyTree(v[i])
		}
		return any(c).(T)
	}
	return v
}
