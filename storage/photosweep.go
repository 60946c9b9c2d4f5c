package storage

import (
	"context"
	"time"
)

// PhotosKept is how long a device keeps a photo that no site shows any more, so that
// its removal can be undone. The yard keeps it as long by default.
const PhotosKept = 30 * 24 * time.Hour

// photoUnused begins the key, in TableExchange, of the time at which a photo was first
// seen to be shown by no site, RFC 3339.
const photoUnused = "unused/"

// SweepPhotos deletes the photos that no site has shown for PhotosKept, and returns how
// many. A site that cannot be read may show any: then none goes.
func SweepPhotos(ctx context.Context, s Store, now time.Time) (int, error) {
	in, err := s.Inventory(ctx, photoUnused)
	if err != nil {
		return 0, err
	}
	shown := map[string]bool{}
	for i := range in.Sites {
		if in.Sites[i].Condition != Sound {
			return 0, nil
		}
		for _, id := range in.Sites[i].PhotoIDs {
			shown[id] = true
		}
	}
	since := map[string]string{}
	var records []Record
	for key, value := range in.Records(photoUnused) {
		id := key[len(photoUnused):]
		since[id] = string(value)
		if shown[id] || !in.Photos[id] {
			records = append(records, Record{Key: key})
		}
	}
	gone := 0
	for id := range in.Photos {
		at, err := time.Parse(time.RFC3339, since[id])
		switch {
		case shown[id]:
		case err != nil:
			records = append(records, Record{photoUnused + id, []byte(WriteTime(now))})
		case now.Sub(at) >= PhotosKept:
			if err := s.DeletePhoto(ctx, id); err != nil {
				return gone, err
			}
			for _, key := range []string{photoUnused, "photo/", PhotoAway} {
				records = append(records, Record{Key: key + id})
			}
			gone++
		}
	}
	return gone, s.KeepExchanged(ctx, nil, records)
}
