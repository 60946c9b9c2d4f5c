// Package api is the yard over HTTP: what stands below /api/v1/. It knows no
// SQL; package yard knows no HTTP.
//
// A route stands in routes with the role that may use it, and in openapi.json
// with every answer. TestAPIAsDescribed wants both to agree and each answer
// that is described to have been given. What changes something is noted in the
// audit log.
//
// # Who marks
//
// The office marks any site as quoted or poured. A crew marks as poured what it sent a
// version of, and takes back its own mark. Every crew reads all sites, so that marking
// any would let each say of the others' work that it is done. It would change if crews
// were given sites.
//
// # A mark is changed under a condition
//
// Setting and clearing a mark heed If-Match and If-None-Match, so that of two
// offices the second is told and nothing is overwritten unseen. The mark's tag
// comes from the yard. It would change if marks had a history of their own.
//
// # Who fails is held up, and nobody beside him
//
// A good token is never refused for what others try from the same address: fifty
// phones stand behind one proxy. Refused tokens and codes are charged to the address,
// each once, 100 at once and then one a second; the same one again is charged to
// itself, 20 at once and then one in five seconds. A right code is taken whatever was
// tried beside it: 30^10 codes that live ten minutes are not found at 50 a second, which
// is what an address may ask without a pairing. It would change with shorter codes.
// A server keeps nothing but its counts, so that any number of them may serve one
// PostgreSQL and a balancer needs no sticky sessions.
//
// # Refusals are counted
//
// The audit log holds what was done, each for itself, and refusals by the hour: those
// that are alike are one line, fifty lines an hour at most. It would change if each
// attempt were wanted: then it is for the server's own log.
//
// # Only text comes in
//
// Paths and queries with control characters or without UTF-8 are refused before any
// route: the databases differ in what they make of them. A body is waited for ten
// seconds, of a device that was let in five minutes where it may be large.
package api
