package engine

import "pegpour/engine/draw"

func (p *Plan) drawCavity(s *draw.Scene, o *SceneOptions) {}
func groundRows(p *Plan) [][]string                       { return nil }
