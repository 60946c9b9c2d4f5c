package engine

import (
	"pegpour/engine/plan"
	"pegpour/engine/practice"
)

// designed is a design as far as its stages have come, for those that only
// read it: figures and checks.
type designed struct {
	inputs    *inputs
	practice  *practice.Practice
	layout    *layout
	treatment *driveTreatment
	stand     *guideStand
	plan      *plan.Plan
}
