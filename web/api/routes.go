package api

import (
	"net/http"
	"time"

	"pegpour/storage/schema"
	"pegpour/storage/yard"
)

// route is one address of the API.
type route struct {
	method, path string
	role         yard.Role
	answer       func(w http.ResponseWriter, r *http.Request, d yard.Device) error
}

// anyone marks what needs no pairing, anyRole what every paired device may do.
const (
	anyone  yard.Role = "anyone"
	anyRole yard.Role = "any"
)

// routes lists every address, and gives those who answer what they use.
func routes(y *yard.Yard, now func() time.Time, limits *limits, journal journal, signIns *signIns) []route {
	devices := devices{y, limits, journal}
	codes := codes{y, journal}
	sites := sites{y}
	revisions := revisions{y}
	marks := marks{y, journal}
	exports := exports{y, now, journal}
	photos := photos{y}
	office := office{y, journal}
	deletions := deletions{y, journal}
	people := people{y, journal}
	quotas := quotas{y, journal}
	users := users{y, journal}
	webhooks := webhooks{y, journal}
	shopRules := shopRules{y, journal}
	return []route{
		{"GET", "/api/v1/openapi.json", anyone, describe},
		{"GET", "/api/v1/site.schema.json", anyone, describeAs(schema.Site)},
		{"GET", "/api/v1/plan.schema.json", anyone, describeAs(schema.Plan)},
		{"GET", "/api/v1/problems/{problem}", anyone, explain},
		{"POST", "/api/v1/pair", anyone, devices.pair},
		{"GET", "/api/v1/device", anyRole, devices.self},
		{"DELETE", "/api/v1/device", anyRole, devices.leave},
		{"GET", "/api/v1/devices", yard.Office, devices.list},
		{"DELETE", "/api/v1/devices/{device}", yard.Office, devices.withdraw},
		{"DELETE", "/api/v1/devices/{device}/record", yard.Office, devices.forget},
		{"POST", "/api/v1/codes", yard.Office, codes.create},
		{"GET", "/api/v1/changes", anyRole, sites.changes},
		{"GET", "/api/v1/sites", anyRole, sites.list},
		{"GET", "/api/v1/sites/{site}", anyRole, sites.show},
		{"DELETE", "/api/v1/sites/{site}", anyRole, deletions.site},
		{"GET", "/api/v1/deletions", yard.Office, deletions.list},
		{"DELETE", "/api/v1/deletions/{site}", yard.Office, deletions.bringBack},
		{"POST", "/api/v1/person", yard.Office, people.find},
		{"POST", "/api/v1/person/export", yard.Office, people.export},
		{"POST", "/api/v1/person/erase", yard.Office, people.erase},
		{"GET", "/api/v1/rules", yard.Office, deletions.rules},
		{"PUT", "/api/v1/rules", yard.Office, deletions.setRules},
		{"GET", "/api/v1/limits", yard.Office, quotas.show},
		{"PUT", "/api/v1/limits", yard.Office, quotas.set},
		{"GET", "/api/v1/sign-in", anyone, signIns.show},
		{"GET", "/api/v1/sign-in/start", anyone, signIns.start},
		{"GET", "/api/v1/sign-in/done", anyone, signIns.done},
		{"GET", "/api/v1/users", yard.Office, users.list},
		{"POST", "/api/v1/users", yard.Office, users.add},
		{"PUT", "/api/v1/users/{user}", yard.Office, users.change},
		{"PUT", "/api/v1/devices/{device}", yard.Office, users.changeDevice},
		{"POST", "/api/v1/machines", yard.Office, users.addMachine},
		{"GET", "/api/v1/crews", yard.Office, users.crews},
		{"PUT", "/api/v1/sites/{site}/crews", yard.Office, users.setSiteCrews},
		{"GET", "/api/v1/webhooks", yard.Office, webhooks.list},
		{"POST", "/api/v1/webhooks", yard.Office, webhooks.add},
		{"PUT", "/api/v1/webhooks/{webhook}", yard.Office, webhooks.change},
		{"DELETE", "/api/v1/webhooks/{webhook}", yard.Office, webhooks.drop},
		{"GET", "/api/v1/webhooks/{webhook}/deliveries", yard.Office, webhooks.deliveries},
		{"POST", "/api/v1/deliveries/{delivery}/again", yard.Office, webhooks.again},
		{"GET", "/api/v1/shop-rules", anyRole, shopRules.show},
		{"PUT", "/api/v1/shop-rules", anyRole, shopRules.change},
		{"GET", "/api/v1/shop-rules/history", anyRole, shopRules.past},
		{"GET", "/api/v1/sites/{site}/heads", anyRole, revisions.heads},
		{"GET", "/api/v1/sites/{site}/revisions", anyRole, revisions.history},
		{"GET", "/api/v1/sites/{site}/revisions/{revision}", anyRole, revisions.show},
		{"PUT", "/api/v1/sites/{site}/revisions/{revision}", anyRole, revisions.put},
		{"GET", "/api/v1/sites/{site}/marks/{mark}", anyRole, marks.show},
		{"PUT", "/api/v1/sites/{site}/marks/{mark}", anyRole, marks.set},
		{"DELETE", "/api/v1/sites/{site}/marks/{mark}", anyRole, marks.clear},
		{"GET", "/api/v1/sites/{site}/export", anyRole, exports.site},
		{"HEAD", "/api/v1/photos/{photo}", anyRole, photos.state},
		{"GET", "/api/v1/photos/{photo}", anyRole, photos.show},
		{"PUT", "/api/v1/photos/{photo}", anyRole, photos.put},
		{"GET", "/api/v1/backup", yard.Office, office.backUp},
		{"GET", "/api/v1/audit", yard.Office, office.audit},
	}
}
