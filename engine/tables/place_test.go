package tables

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
)

// RFC 7946, sections 3.1.1, 3.1.2 and 3.2: a feature with a point, longitude before
// latitude, and properties.
func TestPlaceIsGeoJSON(t *testing.T) {
	made, err := Place(&survey.Site{Name: "The \"Old\" Mill\n", Address: "Größe 3", Place: "-33.86880, 151.20930"})
	require.NoError(t, err)
	var read struct {
		Type     string
		Geometry struct {
			Type        string
			Coordinates []float64
		}
		Properties map[string]string
	}
	require.NoError(t, json.Unmarshal([]byte(made), &read))
	assert.Equal(t, "Feature", read.Type)
	assert.Equal(t, "Point", read.Geometry.Type)
	assert.Equal(t, []float64{151.2093, -33.8688}, read.Geometry.Coordinates)
	assert.Equal(t, map[string]string{"name": "The \"Old\" Mill\n", "address": "Größe 3"}, read.Properties)

	none, err := Place(&survey.Site{Name: "Mill"})
	require.NoError(t, err)
	assert.Empty(t, none)
}
