package ui

import (
	"pegpour/app/language"
	"pegpour/storage"
)

// ConditionWords say why a site cannot be opened.
func ConditionWords(l *language.Speaker, c storage.Condition) string {
	switch c {
	case storage.IsDamaged:
		return l.Say("What is stored of it is damaged. It is kept as it is.")
	case storage.IsNewer:
		return l.Say("A newer Pegpour wrote it. Bring the program up to date to open it.")
	}
	return ""
}
