package office

import (
	"context"
	"net/url"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/launch"
	"pegpour/app/ui"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// Every address of the office has a screen that is drawn, signed in or not.
func TestEveryScreenOfTheOfficeIsDrawn(t *testing.T) {
	source, err := os.ReadFile("routes.go")
	require.NoError(t, err)
	routes := regexp.MustCompile(`(?m)^\tapp\.Route\w+\(`).FindAll(source, -1)
	screens := map[string]func(*Office) app.Composer{
		"/office":         NewListScreen,
		"/office/devices": NewDevicesScreen,
		"/office/deleted": NewDeletedScreen,
		"/office/health":  NewHealthScreen,
		"/office/people":  NewUsersScreen,
		"/office/rules":   NewRulesScreen,
		"/office/site/x":  NewSiteScreen,
		"/office/nowhere": func(o *Office) app.Composer { return ui.NewLostScreen(o.w) },
	}
	require.Len(t, screens, len(routes))
	for address, screen := range screens {
		store := storage.NewMemory()
		o := OnGround(launch.On(func(context.Context) (storage.Store, error) { return store, nil },
			&yard{answers: map[string]replication.Response{}}))
		page := app.NewClientTester(app.Div())
		t.Cleanup(page.Close)
		at, err := url.Parse(address)
		require.NoError(t, err)
		shown := screen(o)
		page.Mount(shown)
		page.Nav(at)
		holds, markup := `id="office-code"`, ""
		if address == "/office/nowhere" {
			holds = "leads nowhere"
		}
		for late := time.Now().Add(30 * time.Second); time.Now().Before(late) && !strings.Contains(markup, holds); {
			page.Consume()
			markup = app.HTMLString(shown)
		}
		assert.Contains(t, markup, holds, address)
	}
}
