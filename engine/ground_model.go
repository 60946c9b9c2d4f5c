package engine

func (m *groundModel) at(x, y float64) (float64, bool)                       { return 0, false }
func (plan *Plan) modelGround(s *Survey, in *inputs, p *Practice, l *layout) {}
func (plan *Plan) shapeGround(in *inputs, p *Practice, l *layout)            {}
func (plan *Plan) levelPegs()                                                {}
func (plan *Plan) checkLevels(in *inputs, p *Practice, l *layout)            {}
func (plan *Plan) explainGround(in *inputs, p *Practice, l *layout)          {}
