package api

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strconv"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
	"pegpour/web/request"
)

// problem is an answer that says what went wrong (RFC 9457).
type problem struct {
	Type   string `json:"type"`
	Title  string `json:"title"`
	Status int    `json:"status"`
	Detail string `json:"detail,omitempty"`
	// Reason is Detail, or Title where there is none, as a sentence of the words
	// catalogue with its values, for a screen in another language.
	Reason refusal.Message `json:"reason"`
	// Have is, for a piece of a photo in the wrong place, how much is here.
	Have *int64 `json:"have,omitempty"`
	// Deleted is, for a site that was deleted, when: RFC 3339.
	Deleted string `json:"deleted,omitempty"`
	// Request is the identity under which the server's log tells more.
	Request string `json:"request,omitempty"`
}

// The problems, by the last part of their type.
const (
	notKnown     = "not-found"
	notAllowed   = "method-not-allowed"
	unpaired     = "unpaired"
	wrongRole    = "wrong-role"
	otherCrew    = "other-crew"
	noProvider   = "no-provider"
	invalid      = "invalid"
	tooLarge     = "too-large"
	tooMany      = "too-many-requests"
	wrongType    = "unsupported-content"
	wrongPlace   = "wrong-place"
	wrongDigest  = "wrong-digest"
	precondition = "precondition-failed"
	diskFull     = "disk-full"
	waitingFull  = "too-many-waiting"
	deleted      = "deleted"
	claimed      = "claimed"
	quotaFull    = "quota-full"
	damaged      = "damaged"
	storeAway    = "store-away"
	backingUp    = "backing-up"
	internal     = "internal"
	away         = "not-ready"
)

var problemTitles = map[string]string{
	notKnown:     "Nothing is kept at this address",
	notAllowed:   "This address does not do that",
	unpaired:     "This device is not paired with the yard, or was withdrawn",
	wrongRole:    "Who asks may not do this: the office may",
	otherCrew:    "This site is another crew's",
	noProvider:   "The provider of identities did not answer as it should",
	invalid:      "The yard cannot keep this",
	tooLarge:     "Larger than allowed",
	tooMany:      "Too many requests: wait a little",
	wrongType:    "Sent in a form that is not taken here",
	wrongPlace:   "The piece does not follow on what is here",
	wrongDigest:  "The bytes are not those of the name: send them anew",
	precondition: "A condition of the request does not hold",
	waitingFull:  "Too many versions wait for what they came from: send this one as a beginning",
	deleted:      "This site was deleted in the yard",
	claimed:      "Another device is sending this",
	quotaFull:    "The yard takes no more",
	damaged:      "This was damaged in the yard: it waits for a device that has it",
	storeAway:    "The yard's store of photos does not answer: nothing was kept, try again",
	backingUp:    "A back-up is being made: try again when it is done",
	diskFull:     "The yard has no room left",
	internal:     "The yard failed; nothing was lost that it acknowledged",
	away:         "The yard's database does not answer at the moment: it is tried again",
}

const problemTypes = "/api/v1/problems/"

// refuse answers with a problem of a kind that its title says all of.
func refuse(w http.ResponseWriter, status int, kind string) {
	title := problemTitles[kind]
	answerProblem(w, problem{Type: problemTypes + kind, Title: title, Status: status, Reason: refusal.Say(title)})
}

// refuseFor answers with a problem and what it is in this case.
func refuseFor(w http.ResponseWriter, status int, kind string, why refusal.Message) {
	answerProblem(w, problem{
		Type: problemTypes + kind, Title: problemTitles[kind], Status: status, Detail: why.String(), Reason: why,
	})
}

func answerProblem(w http.ResponseWriter, p problem) {
	p.Request = w.Header().Get(request.Header)
	body, err := json.Marshal(p)
	if err != nil {
		body = []byte("{}") // cannot happen: the type has nothing that JSON refuses
	}
	h := w.Header()
	h.Del("ETag")
	h.Set("Content-Type", "application/problem+json")
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(p.Status)
	_, _ = w.Write(body)
}

// laterSeconds is after how long to ask again for what does not work just now, and
// awaySeconds for a database that is away.
const (
	laterSeconds = "20"
	awaySeconds  = "5"
)

// refuseLater answers 503 with when to try again.
func refuseLater(w http.ResponseWriter, kind string) {
	w.Header().Set("Retry-After", laterSeconds)
	refuse(w, http.StatusServiceUnavailable, kind)
}

// NotReady answers while the database is away: what was asked is to be asked again.
func NotReady(w http.ResponseWriter) {
	w.Header().Set("Retry-After", awaySeconds)
	refuse(w, http.StatusServiceUnavailable, away)
}

// fail answers for an error of the yard. What is inside the server is told to
// its own log only.
func (a *API) fail(w http.ResponseWriter, r *http.Request, err error) {
	var bad *yard.InvalidError
	var offset *yard.OffsetError
	var wait *yard.WaitingError
	var claim *yard.ClaimError
	var quota *yard.QuotaError
	var digest *yard.DigestError
	var gone *yard.GoneError
	var large *http.MaxBytesError
	var broken *yard.DamagedError
	var store *yard.StoreError
	var kind *typeError
	switch {
	case errors.As(err, &kind):
		refuseFor(w, http.StatusUnsupportedMediaType, wrongType, kind.Refusal())
	case errors.As(err, &large):
		why := refusal.Say("at most {0} bytes", refusal.Number(float64(large.Limit), ""))
		refuseFor(w, http.StatusRequestEntityTooLarge, tooLarge, why)
	case errors.Is(err, yard.ErrNotFound):
		refuse(w, http.StatusNotFound, notKnown)
	case errors.Is(err, yard.ErrChanged):
		refuseFor(w, http.StatusPreconditionFailed, precondition, refusal.Of(err))
	case errors.Is(err, yard.ErrRefused):
		w.Header().Set("WWW-Authenticate", "Bearer")
		refuse(w, http.StatusUnauthorized, unpaired)
	case errors.As(err, &gone):
		answerProblem(w, problem{
			Type: problemTypes + deleted, Title: problemTitles[deleted], Status: http.StatusGone,
			Detail: gone.Error(), Reason: gone.Refusal(), Deleted: gone.At,
		})
	case errors.As(err, &bad):
		refuseFor(w, http.StatusUnprocessableEntity, invalid, bad.Reason)
	case errors.As(err, &wait):
		refuseFor(w, http.StatusUnprocessableEntity, waitingFull, wait.Refusal())
	case errors.As(err, &offset):
		w.Header().Set("Upload-Offset", strconv.FormatInt(offset.Have, 10))
		answerProblem(w, problem{
			Type: problemTypes + wrongPlace, Title: problemTitles[wrongPlace], Status: http.StatusConflict,
			Detail: offset.Error(), Reason: offset.Refusal(), Have: &offset.Have,
		})
	case errors.As(err, &quota):
		refuseFor(w, http.StatusInsufficientStorage, quotaFull, quota.Refusal())
	case errors.As(err, &claim):
		refuseFor(w, http.StatusLocked, claimed, claim.Refusal())
	case errors.As(err, &digest):
		refuse(w, http.StatusUnprocessableEntity, wrongDigest)
	case errors.Is(err, yard.ErrBackingUp):
		refuseLater(w, backingUp)
	case errors.As(err, &broken):
		a.journal.of(r).Error("something in the yard is damaged", "path", r.URL.Path, "error", err)
		refuseLater(w, damaged)
	case errors.As(err, &store) && !yard.IsFull(err):
		a.journal.of(r).Error("the store of photos", "route", r.Pattern, "error", err)
		refuseLater(w, storeAway)
	case yard.IsFull(err):
		a.journal.of(r).Error("no room left", "route", r.Pattern)
		refuse(w, http.StatusInsufficientStorage, diskFull)
	case yard.IsDown(err):
		a.journal.of(r).Error("the database is down", "route", r.Pattern, "error", err)
		NotReady(w)
	default:
		if !errors.Is(err, context.Canceled) {
			a.journal.of(r).Error("the yard failed", "route", r.Pattern, "error", err)
		}
		refuse(w, http.StatusInternalServerError, internal)
	}
}
