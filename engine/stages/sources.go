package stages

// Sources of the loads, as load cases and figures name them.
const (
	SourceIncline = "force on an inclined plane with rolling resistance: any textbook of mechanics"
	SourceStop    = "energy of the leaf taken up by a linear spring: F = m·v²/d + 2·F_d"
	SourceWind    = "EN 1991-1-4, 7.4 and statics; ASCE 7-16 table 29.4-2 for open leaves"
)
