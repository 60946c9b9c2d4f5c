package yard

import (
	"context"
	"math"
	"regexp"
	"strconv"

	"pegpour/engine/practice"
	"pegpour/engine/refusal"
)

// ShopRules are the rules by which the shop builds, as all its devices follow them.
// JSON names are those of the HTTP API, here and below.
type ShopRules struct {
	// Revision is 1 while nobody set any, and greater after each change.
	Revision int64              `json:"revision"`
	Rules    map[string]float64 `json:"rules"` // those that are not at their default, by key
}

// RuleChange sets a rule to To, nil for its default, where From stood.
type RuleChange struct {
	Key  string   `json:"key"`
	From *float64 `json:"from"`
	To   *float64 `json:"to"`
}

// RulePast is a line of the history of the rules.
type RulePast struct {
	Revision int64    `json:"revision"`
	Key      string   `json:"key"`
	Before   *float64 `json:"before"` // nil: the default
	Value    *float64 `json:"value"`
	At       string   `json:"at"`
	Device   string   `json:"device"`
	By       string   `json:"by"` // the person's name, or the device's; "" for the command line
}

// MaxRuleChanges is how many rules one request may change.
const MaxRuleChanges = 1000

// ruleKey is the form of a key; a newer program may have rules that this one does not
// know.
var ruleKey = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$`)

// ShopRules reads the rules as they stand.
func (y *Yard) ShopRules(ctx context.Context) (ShopRules, error) {
	var out ShopRules
	err := y.view(ctx, func(s session) (err error) {
		out, err = readShopRules(s)
		return err
	})
	return out, err
}

func readShopRules(s session) (ShopRules, error) {
	out := ShopRules{Rules: map[string]float64{}}
	var err error
	if out.Revision, err = rulesRevision(s); err != nil {
		return out, err
	}
	return out, s.rows(`SELECT name, value FROM shop_rules r WHERE value <> ''
		AND turn = (SELECT MAX(turn) FROM shop_rules q WHERE q.name = r.name)`, nil,
		func(scan func(...any) error) error {
			var name, value string
			if err := scan(&name, &value); err != nil {
				return err
			}
			v, err := strconv.ParseFloat(value, 64)
			if err == nil {
				out.Rules[name] = v
			}
			return nil
		})
}

// rulesRevision counts the turn of the last change, from 1 for none.
func rulesRevision(s session) (n int64, err error) {
	err = s.row("SELECT COALESCE(MAX(turn), 0) + 1 FROM shop_rules", nil, &n)
	return n, err
}

// RulesRevision is ShopRules.Revision.
func (y *Yard) RulesRevision(ctx context.Context) (n int64, err error) {
	err = y.view(ctx, func(s session) error {
		n, err = rulesRevision(s)
		return err
	})
	return n, err
}

// SetShopRules changes rules one by one. One that stands otherwise than From by now, and
// not as To, is refused, and so is one out of its range: what came first stands. refused
// names them. Done again, it changes nothing. Errors: *InvalidError.
func (y *Yard) SetShopRules(ctx context.Context, by Device, changes []RuleChange) (now ShopRules, refused []string, err error) {
	if len(changes) > MaxRuleChanges {
		return now, nil, invalid("at most {0} rules are changed at once", refusal.Count(MaxRuleChanges))
	}
	for _, c := range changes {
		if !ruleKey.MatchString(c.Key) {
			return now, nil, invalid("there is no rule {0}", refusal.Typed(plain(c.Key)))
		}
	}
	err = y.update(ctx, func(s session) error {
		refused = []string{}
		// Taken first: changes of rules wait for one another.
		turn, err := s.turn()
		if err != nil {
			return err
		}
		if now, err = readShopRules(s); err != nil {
			return err
		}
		for _, c := range changes {
			here, set := now.Rules[c.Key]
			stands := func(v *float64) bool { return v == nil && !set || v != nil && set && *v == here }
			switch {
			case stands(c.To):
				continue
			case !stands(c.From) || !keepsRule(c):
				refused = append(refused, c.Key)
				continue
			}
			before := ""
			if set {
				before = number(here)
			}
			value := ""
			if c.To != nil {
				value = number(*c.To)
				now.Rules[c.Key] = *c.To
			} else {
				delete(now.Rules, c.Key)
			}
			if err := s.exec(`INSERT INTO shop_rules (turn, name, value, before, at, device, person) VALUES (?, ?, ?, ?, ?, ?, ?)
				ON CONFLICT (turn, name) DO UPDATE SET value = excluded.value`,
				turn, c.Key, value, before, y.time(), by.ID, by.Person); err != nil {
				return err
			}
			now.Revision = turn + 1
		}
		return nil
	})
	return now, refused, err
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// keepsRule reports whether a rule may have the value. One that only a newer program
// knows may have any.
func keepsRule(c RuleChange) bool {
	if c.To == nil {
		return true
	}
	if math.IsNaN(*c.To) || math.IsInf(*c.To, 0) {
		return false
	}
	r, known := practice.RuleByKey(c.Key)
	return !known || r.Check(*c.To) == nil
}

// ShopRulesPast lists what was changed, the latest first; before is the Revision of the
// last line of the page before, 0 to begin. What was changed at once is never split
// between pages.
func (y *Yard) ShopRulesPast(ctx context.Context, before int64, limit int) ([]RulePast, error) {
	past := []RulePast{}
	err := y.view(ctx, func(s session) error {
		past = past[:0]
		where, args := "", []any(nil)
		if before > 0 {
			where, args = " WHERE turn < ?", []any{before - 1}
		}
		var first int64
		err := s.rows("SELECT turn FROM shop_rules"+where+" ORDER BY turn DESC LIMIT "+itoa(page(limit)), args,
			func(scan func(...any) error) error { return scan(&first) })
		if err != nil || first == 0 {
			return err
		}
		and := " WHERE turn >= ?"
		if before > 0 {
			and = where + " AND turn >= ?"
		}
		return s.rows(`SELECT turn + 1, r.name, r.value, r.before, r.at, r.device, COALESCE(p.name, d.name, '') FROM shop_rules r
			LEFT JOIN devices d ON d.id = r.device LEFT JOIN people p ON p.id = r.person`+and+" ORDER BY turn DESC, r.name",
			append(args, first), func(scan func(...any) error) error {
				var p RulePast
				var value, was string
				err := scan(&p.Revision, &p.Key, &value, &was, &p.At, &p.Device, &p.By)
				p.Value, p.Before = numberIn(value), numberIn(was)
				past = append(past, p)
				return err
			})
	})
	return past, err
}

func numberIn(text string) *float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return nil
	}
	return &v
}
