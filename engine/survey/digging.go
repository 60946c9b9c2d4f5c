package survey

import "pegpour/engine/practice"

// DiggingRule is the key of the rule that counts the hours of digging in the ground of a
// site.
func DiggingRule(s *Survey) string {
	switch FieldOf(GroundSoil).Chosen(s) {
	case SoilSoft:
		return practice.RuleHoursDigSoft
	case SoilWet:
		return practice.RuleHoursDigWet
	case SoilRock:
		return practice.RuleHoursDigRock
	}
	return practice.RuleHoursDigFirm
}
