//go:build made

// Command program does what another program would, with the client that is made from the
// yard's description: see client_test.go, which makes it and gives its address and key.
package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"reflect"
	"strings"
)

func main() {
	c, err := NewClientWithResponses(os.Getenv("YARD"), WithRequestEditorFn(func(_ context.Context, r *http.Request) error {
		r.Header.Set("Authorization", "Bearer "+os.Getenv("KEY"))
		return nil
	}))
	must(err)
	work(c)
	everything(c)
}

func must(err error) {
	if err != nil {
		panic(err)
	}
}

func want[T any](name string, answer *T, status int, err error) *T {
	if err != nil || answer == nil {
		panic(fmt.Sprint(name, ": ", status, " ", err))
	}
	return answer
}

// work goes through a day of a program for accounts.
func work(c *ClientWithResponses) {
	ctx := context.Background()
	sites, err := c.GetApiV1SitesWithResponse(ctx, nil)
	must(err)
	first := want("sites", sites.JSON200, sites.StatusCode(), err).Sites[0]
	fmt.Println("site", first.Id, first.Name, len(first.Heads))
	heads, err := c.GetApiV1SitesSiteHeadsWithResponse(ctx, first.Id, nil)
	must(err)
	head := want("heads", heads.JSON200, heads.StatusCode(), err).Heads[0].Revision
	doc, err := c.GetApiV1SitesSiteRevisionsRevisionWithResponse(ctx, first.Id, head, nil)
	must(err)
	if doc.StatusCode() != 200 || !bytes.Contains(doc.Body, []byte(first.Id)) {
		panic(doc.Status())
	}
	mark, err := c.PutApiV1SitesSiteMarksMarkWithResponse(ctx, first.Id, "quoted", nil)
	must(err)
	fmt.Println("marked", mark.StatusCode())
	changes, err := c.GetApiV1ChangesWithResponse(ctx, nil)
	must(err)
	seen := want("changes", changes.JSON200, changes.StatusCode(), err)
	next := seen.Next
	again, err := c.GetApiV1ChangesWithResponse(ctx, &GetApiV1ChangesParams{After: &next})
	must(err)
	fmt.Println("changes", len(seen.Changes) > 1, len(want("changes", again.JSON200, again.StatusCode(), err).Changes))
	to := 700.0
	rules, err := c.PutApiV1ShopRulesWithResponse(ctx, PutApiV1ShopRulesJSONRequestBody{Changes: []RuleChange{{Key: "strip.width", To: &to}}})
	must(err)
	if rules.JSON200 == nil {
		panic(rules.Status())
	}
	fmt.Println("rules", rules.JSON200.Rules["strip.width"], len(rules.JSON200.Refused))
	missing, err := c.GetApiV1SitesSiteWithResponse(ctx, "none", nil)
	must(err)
	fmt.Println("problem", want("problem", missing.ApplicationproblemJSON404, missing.StatusCode(), err).Title)
}

// everything calls every operation, with arguments of the right kinds, and prints what
// was answered.
func everything(c *ClientWithResponses) {
	v := reflect.ValueOf(c)
	for i := range v.NumMethod() {
		name := v.Type().Method(i).Name
		if !strings.HasSuffix(name, "WithResponse") || name == "DeleteApiV1DeviceWithResponse" {
			continue
		}
		m := v.Method(i)
		var args []reflect.Value
		for n := range m.Type().NumIn() {
			t := m.Type().In(n)
			if m.Type().IsVariadic() && n == m.Type().NumIn()-1 {
				break
			}
			switch {
			case n == 0:
				args = append(args, reflect.ValueOf(context.Background()))
			case t.Kind() == reflect.String && n == m.Type().NumIn()-3 && strings.Contains(name, "WithBody"):
				args = append(args, reflect.ValueOf("application/json"))
			case t.Kind() == reflect.String:
				args = append(args, reflect.ValueOf("none").Convert(t))
			case t.Kind() == reflect.Interface:
				args = append(args, reflect.ValueOf(strings.NewReader("{}")))
			default:
				args = append(args, reflect.Zero(t))
			}
		}
		out := m.Call(args)
		if !out[1].IsNil() {
			panic(fmt.Sprint(name, ": ", out[1].Interface()))
		}
		answer := out[0].Elem()
		status := answer.FieldByName("HTTPResponse").Interface().(*http.Response).StatusCode
		// What the description says comes is what was read.
		read := "bare"
		for f := range answer.NumField() {
			field := answer.Type().Field(f).Name
			if strings.HasSuffix(field, fmt.Sprint(status)) && !answer.Field(f).IsNil() {
				read = "read"
			}
		}
		if read == "bare" && json.Valid(answer.FieldByName("Body").Bytes()) {
			read = "unread"
		}
		fmt.Println("call", name, status, read)
	}
}
