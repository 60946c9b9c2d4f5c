package survey

// Choices of Gate for the leaf and what carries it.
const (
	PanelsOne   = "1"
	PanelsTwo   = "2"
	PanelsThree = "3"

	// MostPanels is the most of these.
	MostPanels = 3

	DrivenLast  = "last"  // the panel next to the motor; the others are linked to it
	DrivenFirst = "first" // the panel that leads, its rack reached over the others

	MetalSteel     = "steel"
	MetalAluminium = "aluminium"

	ColourBare      = "bare" // as it comes from the zinc bath, or aluminium without a coat
	ColourBlack     = "black"
	ColourDarkGrey  = "dark grey"
	ColourLightGrey = "light grey"
	ColourWhite     = "white"
	ColourGreen     = "green"
	ColourBrown     = "brown"

	InfillBattens  = "battens"  // lying, one above another
	InfillBoards   = "boards"   // upright, side by side
	InfillUprights = "uprights" // upright bars with gaps
	InfillSheet    = "sheet"
	InfillMesh     = "mesh"
	InfillOpen     = "open" // nothing yet

	BarFlat   = "flat"
	BarOnEdge = "on edge"

	PadConcrete = "concrete"
	PadSteel    = "steel"
)
