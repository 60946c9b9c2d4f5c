package yard

import (
	"context"
	"errors"
	"fmt"
	"io"
)

// examinePhotos holds every photo against its name, one at a time.
func (y *Yard) examinePhotos(ctx context.Context, e *Examination) error {
	var ids []string
	err := y.view(ctx, func(s session) (err error) {
		ids, err = s.texts("SELECT id FROM photos ORDER BY id")
		return err
	})
	if err != nil {
		return err
	}
	for _, id := range ids {
		p, words, err := y.examinePhoto(ctx, id)
		if err != nil {
			return fmt.Errorf("photo %s: %w", id, err)
		}
		switch {
		case words == "" && p.Complete:
			e.Photos++
		case words == "":
		case p.Complete:
			e.Findings = append(e.Findings, Finding{DamagedPhoto, id, words + ": a phone that holds it sends it again after repair",
				true})
		default:
			e.Findings = append(e.Findings, Finding{DamagedPieces, id, words + ": it begins anew after repair", true})
		}
	}
	return nil
}

// examinePhoto says in words what is wrong with a photo, "" for nothing.
func (y *Yard) examinePhoto(ctx context.Context, id string) (p photo, words string, err error) {
	err = y.view(ctx, func(s session) error {
		p, err = readPhoto(s, id, "")
		return err
	})
	if errors.Is(err, ErrNotFound) {
		return p, "", nil // it went meanwhile
	}
	if err != nil {
		return p, "", err
	}
	if p.stored > 0 {
		words, err = y.examineObject(ctx, p)
		if err != nil || !p.pieces {
			return p, words, err
		}
	}
	var h hasher
	have, err := io.Copy(&h, &pieceReader{y: y, ctx: ctx, id: id, end: p.Size + 1})
	switch {
	case err != nil || words != "":
	case !p.Complete && have != p.Have:
		words = fmt.Sprintf("%d bytes of it are noted and %d are here", p.Have, have)
	case p.pieces && (have != p.Size || h.name() != id):
		words = "its bytes are not those of its name"
	}
	return p, words, err
}

// examineObject reads a photo in the store. A store that does not answer is an error and
// no damage.
func (y *Yard) examineObject(ctx context.Context, p photo) (words string, err error) {
	o, err := y.store(ctx)
	if err != nil {
		return "", err
	}
	_, err = o.verify(ctx, p.ID, p.Size)
	switch {
	case err == nil:
		return "", nil
	case errors.Is(err, errWrongBytes):
		return "its bytes in the store are not those of its name", nil
	case errors.Is(storeError(err), errGone):
		return "it is not in the store", nil
	}
	return "", storeError(err)
}
