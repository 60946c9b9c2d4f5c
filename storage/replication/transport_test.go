package replication

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What failed inside the yard is said with the request's name, by which who runs the yard
// finds it; what a person did wrong is not.
func TestFaultOfTheYardNamesItsRequest(t *testing.T) {
	body := `"title":"Broken","reason":{"format":"the yard does not have this"},"request":"ABCD-2345"}`
	err := refused(Response{Status: 503, Header: map[string]string{"retry-after": "5"},
		Body: []byte(`{"type":"/api/v1/problems/not-ready",` + body)})
	require.ErrorContains(t, err, "the yard says: the yard does not have this (request ABCD-2345)")
	err = refused(Response{Status: 422, Body: []byte(`{"type":"/api/v1/problems/invalid",` + body)})
	require.EqualError(t, err, "the yard says: the yard does not have this")
}
