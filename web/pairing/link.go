package pairing

import (
	"net/url"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
)

// MaxAddress is the greatest length of an address to put into a picture, in
// bytes; what is longer gives squares that a phone no longer reads from a screen.
const MaxAddress = 200

// CheckAddress wants an address with nothing behind the host but a path.
func CheckAddress(address string) error {
	u, err := url.Parse(address)
	if err != nil || len(address) > MaxAddress || u.Scheme != "http" && u.Scheme != "https" ||
		u.Host == "" || u.User != nil || u.RawQuery != "" || u.Fragment != "" {
		return refusal.Told(refusal.Say(
			"the address is that of the yard, such as https://yard.example, with at most {0} bytes",
			refusal.Count(MaxAddress)))
	}
	return nil
}

// Link opens the screen at which a device of the role is paired. The code
// stands behind the #, which a browser does not send.
func Link(address string, role yard.Role, code string) string {
	screen := "/sync"
	if role == yard.Office {
		screen = "/office"
	}
	return strings.TrimSuffix(address, "/") + screen + "#pair=" + code
}
