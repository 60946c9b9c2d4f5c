package replication

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"pegpour/storage"
	"pegpour/storage/contentrange"
)

// maxPhotoBytes is more than a yard keeps of one photo.
const maxPhotoBytes = 64 << 20

func photoPath(id string) string { return "/api/v1/photos/" + id }

var inYard = []byte("1")

// sendPhoto sends the next piece of a photo.
func (c *Client) sendPhoto(ctx context.Context, id string, l ledger) error {
	_, data, err := c.store.Photo(ctx, id)
	var damaged *storage.DamagedError
	if errors.As(err, &damaged) || err == nil && len(data) == 0 {
		return c.photoIs(ctx, id, l, []byte("damaged on this device"))
	}
	if err != nil {
		return err
	}
	size := int64(len(data))
	c.mu.Lock()
	start, known := c.offsets[id]
	c.mu.Unlock()
	if !known {
		answer, err := c.ask(ctx, Request{Method: "HEAD", Path: photoPath(id)}, 200, 404)
		if err != nil {
			return err
		}
		if answer.Status == 200 {
			if strings.Contains(answer.Header["etag"], id) { // a page of the network has another
				return c.photoIs(ctx, id, l, inYard)
			}
			if start, err = offset(answer, size); err != nil {
				return err
			}
		}
	}
	end := min(start+int64(c.options.PieceBytes), size)
	c.progress(Progress{Photo: id, Done: start, Total: size})
	answer, err := c.ask(ctx, Request{Method: "PUT", Path: photoPath(id), Body: data[start:end], Header: map[string]string{
		"Content-Type":  "application/octet-stream",
		"Content-Range": contentrange.Range{First: start, Last: end - 1, Size: size}.String(),
	}}, 200, 202, 409)
	var no *AnswerError
	switch {
	case errors.As(err, &no) && no.Kind == "wrong-digest":
		c.setOffset(id, 0)
		return err
	case errors.As(err, &no) && no.final():
		why, err := json.Marshal(no.Refusal())
		if err != nil {
			return err
		}
		return c.photoIs(ctx, id, l, why)
	case err != nil:
		c.forgetOffset(id)
		return err
	case answer.Status == 200 && !strings.Contains(answer.Header["etag"], id):
		c.forgetOffset(id)
		return ErrGarbled
	case answer.Status == 200:
		return c.photoIs(ctx, id, l, inYard)
	}
	if start, err = offset(answer, size); err != nil {
		return err
	}
	c.setOffset(id, start)
	c.progress(Progress{Photo: id, Done: start, Total: size})
	return nil
}

// offset reads from where to go on; there is at least one byte to go.
func offset(r Response, size int64) (int64, error) {
	n, err := strconv.ParseInt(r.Header["upload-offset"], 10, 64)
	if err != nil || n < 0 || n >= size {
		return 0, ErrGarbled
	}
	return n, nil
}

func (c *Client) setOffset(id string, n int64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.offsets[id] = n
}

func (c *Client) forgetOffset(id string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	delete(c.offsets, id)
}

// photoIs notes how a photo stands to the yard, if that is still the one asked.
func (c *Client) photoIs(ctx context.Context, id string, l ledger, what []byte) error {
	c.forgetOffset(id)
	return c.store.KeepExchanged(ctx, l.sameYard(), []storage.Record{{Key: keyPhoto + id, Value: what}})
}

// absentFor is how long a photo is not asked for that the yard did not have:
// the phone that took it has not sent it yet.
const absentFor = time.Minute

// fetchPhoto fetches the next piece of a photo.
func (c *Client) fetchPhoto(ctx context.Context, id string, l ledger) error {
	part, err := c.store.Exchanged(ctx, keyPart+id)
	if err != nil {
		return err
	}
	have := int64(len(part))
	answer, err := c.ask(ctx, Request{Method: "GET", Path: photoPath(id), Header: map[string]string{
		"Range": fmt.Sprintf("bytes=%d-%d", have, have+int64(c.options.PieceBytes)-1),
	}}, 200, 206, 404, 416)
	if err != nil {
		return err
	}
	var size int64
	switch answer.Status {
	case 404:
		c.mu.Lock()
		c.absent[id] = c.options.Now().Add(absentFor)
		c.mu.Unlock()
		return nil
	case 416:
		return c.store.KeepExchanged(ctx, nil, []storage.Record{removed(keyPart + id)})
	case 200:
		part, size = answer.Body, int64(len(answer.Body))
	default:
		piece, ok := contentrange.Parse(answer.Header["content-range"])
		if !ok || piece.First != have || piece.Size > maxPhotoBytes || len(answer.Body) == 0 {
			return ErrGarbled
		}
		part, size = append(part, answer.Body...), piece.Size
	}
	c.progress(Progress{Photo: id, Done: int64(len(part)), Total: size, Down: true})
	if int64(len(part)) < size {
		return c.store.KeepExchanged(ctx, nil, []storage.Record{{Key: keyPart + id, Value: part}})
	}
	if storage.PhotoID(part) != id {
		if err := c.store.KeepExchanged(ctx, nil, []storage.Record{removed(keyPart + id)}); err != nil {
			return err
		}
		return ErrGarbled
	}
	if _, err := c.store.PutPhoto(ctx, answer.Header["content-type"], part); err != nil {
		return err
	}
	return c.store.KeepExchanged(ctx, l.sameYard(),
		[]storage.Record{removed(keyPart + id), {Key: keyPhoto + id, Value: inYard}})
}

// Spare lists the photos here that the yard has as well, so that their bytes may go from
// this device: every site that shows them is in the yard.
func (c *Client) Spare(ctx context.Context) ([]string, error) {
	in, err := c.store.Inventory(ctx, keySite, keyPhoto)
	if err != nil {
		return nil, err
	}
	l := c.ledger(in)
	keep := map[string]bool{}
	for _, site := range in.Sites {
		if s := l.site(site.ID); !sendable(site) || s.Base == "" || s.Doubt || s.Gone != "" {
			for _, id := range site.PhotoIDs {
				keep[id] = true
			}
		}
	}
	var spare []string
	for _, site := range in.Sites {
		for _, id := range site.PhotoIDs {
			if in.Photos[id] && !keep[id] && string(l.record(keyPhoto+id)) == string(inYard) {
				spare, keep[id] = append(spare, id), true
			}
		}
	}
	return spare, nil
}

// LetPhotosGo deletes the bytes of spare photos from this device, each after the yard
// has said that it has it. They are fetched again when somebody wants them, see
// storage.PhotoAway. Errors: those of Step.
func (c *Client) LetPhotosGo(ctx context.Context) error {
	spare, err := c.Spare(ctx)
	if err != nil {
		return err
	}
	in, err := c.store.Inventory(ctx, keyPairing, keyYard, keyPhoto)
	if err != nil {
		return err
	}
	l := c.ledger(in)
	for _, id := range spare {
		answer, err := c.ask(ctx, Request{Method: "HEAD", Path: photoPath(id)}, 200, 404)
		if err != nil {
			return err
		}
		still := append(l.sameYard(), l.as(keyPhoto+id))
		if answer.Header["etag"] == "" { // it lost it: it is sent again
			if err := c.store.KeepExchanged(ctx, still, []storage.Record{removed(keyPhoto + id)}); err != nil {
				return err
			}
			continue
		}
		if err := c.store.KeepExchanged(ctx, still, []storage.Record{{Key: keyAway + id, Value: inYard}}); err != nil {
			return err
		}
		if err := c.store.DeletePhoto(ctx, id); err != nil {
			return err
		}
	}
	return nil
}
