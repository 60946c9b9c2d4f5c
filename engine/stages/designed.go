package stages

import (
	"pegpour/engine/plan"
	"pegpour/engine/practice"
)

// Designed is a design as far as its stages have come, for those that only
// read it: figures and checks.
type Designed struct {
	Inputs    *Inputs
	Practice  *practice.Practice
	Layout    *Layout
	Treatment *DriveTreatment
	Stand     *GuideStand
	Plan      *plan.Plan
}
