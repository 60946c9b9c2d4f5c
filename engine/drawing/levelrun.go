package drawing

import (
	"cmp"
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/ground"
	"pegpour/engine/sorting"
	"pegpour/engine/text"
)

// ProfileScene draws the levels of a run by chainage, heights enlarged.
func ProfileScene(run *ground.LevelRun, o SceneOptions) (scene *draw.Scene, heights float64) {
	type spot struct{ x, z float64 }
	var spots []spot
	for _, r := range run.Rows {
		if r.Read && r.Known && r.Placed {
			spots = append(spots, spot{r.Chainage, r.Adjusted})
		}
	}
	if len(spots) < 2 {
		return nil, 1
	}
	sorting.Stable(spots, func(a, b spot) int { return cmp.Compare(a.x, b.x) })
	low, high := spots[0].z, spots[0].z
	for _, q := range spots {
		low, high = min(low, q.z), max(high, q.z)
	}
	span := spots[len(spots)-1].x - spots[0].x
	if span <= 0 {
		return nil, 1
	}
	heights = 1
	for _, k := range []float64{2, 5, 10, 20, 50} {
		if (high-low)*k <= span/4 {
			heights = k
		}
	}
	scene = &draw.Scene{Title: o.words("Profile of the level run"),
		Desc: o.sentences([]text.Text{text.Say(
			"Levels along the fence at {0} points, the lowest {1}, the highest {2}; heights are drawn {3} times larger.",
			text.Number(float64(len(spots))), text.MM(low), text.MM(high), text.Number(heights))})}
	line := make([]draw.Point, 0, len(spots))
	for _, q := range spots {
		line = append(line, draw.Pt(q.x, (q.z-low)*heights))
	}
	scene.Add(draw.Polyline{Tag: draw.Tag{ID: "profile", Role: draw.RoleGround, Voice: draw.VoiceMeasured}, Points: line})
	for i, q := range spots {
		scene.Add(draw.LevelMark{Tag: draw.Tag{ID: "level." + strconv.Itoa(i), Role: draw.RoleNote,
			Voice: draw.VoiceMeasured}, At: line[i], Text: o.figure(text.MM(q.z))})
	}
	return scene, heights
}
