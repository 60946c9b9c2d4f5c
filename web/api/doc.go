// Package api is the yard over HTTP: what stands below /api/v1/. It knows no
// SQL; package yard knows no HTTP.
//
// A route stands in routes with the role that may use it, and in openapi.json
// with every answer. TestAPIAsDescribed wants both to agree and each answer
// that is described to have been given. What changes something is noted in the
// audit log.
//
// # A mark is changed under a condition
//
// Setting and clearing a mark heed If-Match and If-None-Match, so that of two
// offices the second is told and nothing is overwritten unseen. The mark's tag
// comes from the yard. It would change if marks had a history of their own.
//
// # Limits count per server
//
// A server keeps nothing but its count of requests, so that any number of them
// may serve one PostgreSQL and a balancer needs no sticky sessions. Codes and
// tokens tried in vain are counted by address: 20 at once, then one in five
// seconds. It would change if somebody tried codes through many servers.
package api
