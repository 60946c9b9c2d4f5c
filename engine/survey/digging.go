package survey

import "pegpour/engine/practice"

// DiggingRule is the key of the rule that counts the hours of digging in the ground of a
// site.
func DiggingRule(s *Survey) string { return diggingRule(FieldOf(GroundSoil).Chosen(s)) }

// DiggingRuleAtLatch is that of the side of the latch post, where two leaves meet.
func DiggingRuleAtLatch(s *Survey) string {
	return diggingRule(FieldOf(otherSide + GroundSoil).Chosen(s))
}

func diggingRule(soil string) string {
	switch soil {
	case SoilSoft:
		return practice.RuleHoursDigSoft
	case SoilWet:
		return practice.RuleHoursDigWet
	case SoilRock:
		return practice.RuleHoursDigRock
	}
	return practice.RuleHoursDigFirm
}
