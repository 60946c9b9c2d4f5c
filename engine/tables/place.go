package tables

import (
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

	"pegpour/engine/survey"
)

// Place is the place of a site as GeoJSON (RFC 7946): a feature with a point, longitude
// first, in degrees of WGS 84 to a metre, with the site's name and address. It is empty
// where no place was given.
func Place(s *survey.Site) (string, error) {
	latitude, longitude, ok := survey.Place(s.Place)
	if !ok {
		return "", nil
	}
	b := []byte(`{"type":"Feature","geometry":{"type":"Point","coordinates":[`)
	b = strconv.AppendFloat(b, longitude, 'f', 5, 64)
	b = append(b, ',')
	b = strconv.AppendFloat(b, latitude, 'f', 5, 64)
	b = append(b, `]},"properties":{"name":`...)
	b, err := jsontext.AppendQuote(b, s.Name)
	if err == nil {
		b = append(b, `,"address":`...)
		b, err = jsontext.AppendQuote(b, s.Address)
	}
	return string(append(b, "}}\n"...)), err
}
