package engine_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/sheets"
	"pegpour/engine/survey"
)

// absurd is a site that nobody should build as it stands.
type absurd struct {
	name    string
	survey  survey.Survey
	rules   func(*practice.Practice) // nil leaves the table's
	refused string                   // the field that the error names, "" where none is refused
	// wrong are questions of which one answer at least must say that it is not in
	// order; sound are those none of whose answers may say that it is.
	wrong []plan.Question
	never []plan.Question
}

func absurdSites() []absurd {
	guided := enginetest.SquareSite()
	guided.Gate.Guide = survey.GuideCastIn
	var list []absurd
	for _, kind := range []string{survey.WallOnBase, survey.WallOfPosts} {
		wall := enginetest.RisingSite(4000, 0.05)
		wall.Ground.Soil, wall.Ground.Class, wall.Ground.Cavity.Wall = survey.SoilFirm, "clay", kind
		list = append(list, absurd{name: "wall of 4 m, " + kind, survey: wall, wrong: []plan.Question{plan.QuestionWallMost},
			never: []plan.Question{plan.QuestionWallStands, plan.QuestionWallStrength, plan.QuestionWallBlocked}})
	}
	for _, class := range []string{"fill", "peat", "soft"} {
		bog := guided
		bog.Drive.Surface, bog.Drive.Vehicle = survey.SurfaceGravel, survey.VehicleLorry
		bog.Ground.Soil, bog.Ground.Class = survey.SoilSoft, class
		bog.Ground.DepthToFirm = survey.Measured(2500, survey.ByTape)
		a := absurd{name: "lorry on gravel over " + class, survey: bog,
			wrong: []plan.Question{plan.QuestionStrengthStrip, plan.QuestionStrengthShear},
			never: []plan.Question{plan.QuestionStrengthStrip, plan.QuestionStrengthShear}}
		if class == "fill" {
			a.wrong = append(a.wrong, plan.QuestionStrengthRefused)
			a.never = append(a.never, plan.QuestionStrengthEmbedment, plan.QuestionStrengthMovement)
		} else {
			a.refused = survey.GroundClass
		}
		list = append(list, a)
	}
	blown := []plan.Question{plan.QuestionStrengthPost, plan.QuestionStrengthEmbedment, plan.QuestionStrengthMovement}
	list = append(list,
		absurd{name: "wind of 10 kPa", survey: guided, rules: func(p *practice.Practice) { p.WindShut = 10000 },
			refused: practice.PracticePath + practice.RuleWindShut, wrong: blown, never: blown},
		absurd{name: "wind of 10 kPa, a post for lesser", survey: guided,
			rules: func(p *practice.Practice) {
				p.WindShut, p.GuidePostSize, p.PostWall, p.GuideHoleSize = 10000, 150, 8, 900
			},
			refused: practice.PracticePath + practice.RuleWindShut, wrong: blown, never: blown},
		absurd{name: "wind of 5 kPa", survey: guided, rules: func(p *practice.Practice) { p.WindShut = 5000 },
			wrong: blown, never: blown})
	for _, u := range []float64{math.NaN(), math.Inf(1), -1} {
		list = append(list, absurd{name: "wind that is no number", survey: guided,
			rules:   func(p *practice.Practice) { p.WindSpeed = u },
			refused: practice.PracticePath + practice.RuleWindSpeed, wrong: blown, never: blown})
	}
	heavy := func(p *practice.Practice) { p.MassSheet, p.MassRack, p.MassGuideRail = 100, 20, 20 }
	held := []plan.Question{plan.QuestionLeafWheels, plan.QuestionMotionHand, plan.QuestionMotionThrust}
	for _, width := range []float64{12000, 12001} {
		leaf := guided
		leaf.Opening.Width, leaf.RunBack.Room = survey.Measured(width, survey.ByTape), survey.Measured(14000, survey.ByTape)
		leaf.Gate.Infill, leaf.Gate.Height = survey.InfillSheet, survey.Measured(3400, survey.ByTape)
		a := absurd{name: "leaf of 12 m and 4 t", survey: leaf, rules: heavy, wrong: held, never: append(held, blown...)}
		if width > 12000 {
			a.refused = survey.OpeningWidth // and a usual opening stands in, with a leaf still too heavy
			a.never = a.never[:1]
			a.wrong = a.wrong[1:2]
		}
		list = append(list, a)
		falling := enginetest.FallingSite()
		falling.Opening.Width, falling.RunBack.Room = leaf.Opening.Width, leaf.RunBack.Room
		falling.Gate.Infill, falling.Gate.Height = leaf.Gate.Infill, leaf.Gate.Height
		if width == 12000 {
			list = append(list, absurd{name: "leaf of 12 m and 4 t over falling ground", survey: falling, rules: heavy,
				wrong: []plan.Question{plan.QuestionLeafWheels, plan.QuestionFootingPost, plan.QuestionFootingUnjudged},
				never: append(held, plan.QuestionFootingPost, plan.QuestionFootingHole, plan.QuestionFootingBearing)})
		}
	}
	slope := enginetest.SlopingSite(0.1, 0)
	for _, ends := range [][2]float64{{0.001, 0.2}, {0.2, 0.2}, {0.001, 0.002}, {0.2, 0.002}} {
		a := absurd{name: "rolling at its ends", survey: slope,
			rules: func(p *practice.Practice) { p.RollingLow, p.Rolling = ends[0], ends[1] }}
		if math.Min(ends[0], ends[1]) < 0.1 {
			a.wrong = []plan.Question{plan.QuestionMotionRunaway}
			a.never = a.wrong
		}
		if math.Max(ends[0], ends[1]) > 0.1 {
			a.wrong = append(a.wrong, plan.QuestionMotionHand)
			a.never = append(a.never, plan.QuestionMotionHand)
		}
		list = append(list, a)
	}
	for _, rolling := range []float64{-0.1, 1e9, math.NaN()} {
		list = append(list, absurd{name: "rolling that is none", survey: slope,
			rules:   func(p *practice.Practice) { p.RollingLow = rolling },
			refused: practice.PracticePath + practice.RuleMotionRollingLow,
			never:   []plan.Question{plan.QuestionMotionRunaway, plan.QuestionMotionImpact}})
	}
	return list
}

// An absurd site gives a plan that can be drawn and printed, with what is refused by
// its name, and nothing that hangs on it is sound.
func TestAbsurdLoads(t *testing.T) {
	for _, a := range absurdSites() {
		t.Run(a.name, func(t *testing.T) {
			p := practice.DefaultPractice()
			if a.rules != nil {
				a.rules(&p)
			}
			made, err := engine.Design(a.survey, p)
			if a.refused == "" {
				require.NoError(t, err)
			} else {
				require.ErrorContains(t, err, a.refused)
			}
			designs.Sound(t, &made)
			answers := map[plan.Question]bool{}
			for _, c := range made.Checks {
				answers[c.Question] = answers[c.Question] || c.Severity != plan.Sound
				if c.Severity == plan.Sound {
					assert.False(t, c.Question.Among(a.never), "%s: %s", c.Code, c.What)
				}
				assert.NotContains(t, c.What.String(), "NaN")
				assert.Empty(t, enginetest.Codes(c.What.String()), c.Code)
			}
			for _, q := range made.Quiet {
				assert.False(t, q.Question.Among(a.never), q.Question)
			}
			for _, q := range a.wrong {
				assert.True(t, answers[q], "%s says nothing", q)
			}

			scene := drawing.SetOutScene(&made, drawing.SceneOptions{})
			assert.NotEmpty(t, scene.Elements)
			paper, err := sheets.Pocket(sheets.Issue{Plan: &made, Survey: &a.survey, Practice: &p,
				Date: time.Date(2025, 3, 14, 9, 0, 0, 0, time.UTC), Units: "mm"})
			require.NoError(t, err)
			assert.True(t, strings.HasPrefix(string(paper), "%PDF-"))
		})
	}
}
